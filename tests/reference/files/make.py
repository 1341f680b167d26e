"""Writes the awkward files of this folder, one trap each, and beside each its expected reading.

    python3 make.py

The readings are written down by hand here, not computed by any program: line, serial number, designator, value.
"""
import gzip
import json
from pathlib import Path

HERE = Path(__file__).parent
HEAD = "part_number,revision,serial,build,characteristic,value"


def put(name, content, dialect, rows, **more):
    data = content if isinstance(content, bytes) else content.encode("utf-8")
    (HERE / f"{name}.csv").write_bytes(data)
    reading = {"dialect": dialect, "rows": rows, **more}
    (HERE / f"{name}.json").write_text(json.dumps(reading, ensure_ascii=False, indent=2) + "\n", "utf-8")


PLAIN = f"{HEAD}\nHB-204,C,S1,B1,1,42.01\nHB-204,C,S2,B1,2,8.5\n"
PLAIN_ROWS = [[2, "S1", "1", 42.01], [3, "S2", "2", 8.5]]
POINT = "UTF-8, comma, decimal point"

put("utf-8-byte-order-mark", b"\xef\xbb\xbf" + PLAIN.encode(), POINT, PLAIN_ROWS)
put("utf-16-little-endian", b"\xff\xfe" + PLAIN.encode("utf-16-le"), "UTF-16 LE, comma, decimal point", PLAIN_ROWS)
put("utf-16-big-endian", b"\xfe\xff" + PLAIN.encode("utf-16-be"), "UTF-16 BE, comma, decimal point", PLAIN_ROWS)
put(
    "windows-1252",
    "part_number,revision,serial,build,characteristic,value,unit,inspector\n"
    "HB-204,C,S1,B1,1,42010,µm,Jürgen Möß\nHB-204,C,S2,B1,1,42020,µm,Ann‘s “€”\n".encode("cp1252"),
    "Windows-1252, comma, whole numbers",
    [[2, "S1", "1", 42010], [3, "S2", "1", 42020]],
    inspectors=["Jürgen Möß", "Ann‘s “€”"],
)
put("lines-end-in-cr-lf", PLAIN.replace("\n", "\r\n"), POINT, PLAIN_ROWS)
put("lines-end-in-cr", PLAIN.replace("\n", "\r"), POINT, PLAIN_ROWS)
put(
    "lines-end-in-all-ways",
    f"{HEAD}\r\nHB-204,C,S1,B1,1,42.01\rHB-204,C,S2,B1,2,8.5\nHB-204,C,S3,B1,2,8.6",
    POINT,
    PLAIN_ROWS + [[4, "S3", "2", 8.6]],
)
put("last-line-without-end", PLAIN.rstrip("\n"), POINT, PLAIN_ROWS)
put(
    "semicolon-and-decimal-comma",
    "part_number;revision;serial;build;characteristic;value\nHB-204;C;S1;B1;1;42,01\nHB-204;C;S2;B1;2;8\nHB-204;C;S3;B1;2;-0,125\n",
    "UTF-8, semicolon, decimal comma",
    [[2, "S1", "1", 42.01], [3, "S2", "2", 8], [4, "S3", "2", -0.125]],
)
put(
    "three-decimals-behind-a-comma",
    "part_number;revision;serial;build;characteristic;value\nHB-204;C;S1;B1;1;42,010\nHB-204;C;S2;B1;1;1,234\n",
    "UTF-8, semicolon, decimal comma",
    [[2, "S1", "1", 42.01], [3, "S2", "1", 1.234]],
)
put(
    "quoted-decimal-comma",
    f'{HEAD}\nHB-204,C,S1,B1,1,"42,01"\nHB-204,C,S2,B1,2,"8,500"\n',
    "UTF-8, comma, decimal comma",
    PLAIN_ROWS,
)
put("tab", PLAIN.replace(",", "\t"), "UTF-8, tab, decimal point", PLAIN_ROWS)
put("vertical-bar", PLAIN.replace(",", "|"), "UTF-8, vertical bar, decimal point", PLAIN_ROWS)
put(
    "commas-in-a-semicolon-file",
    "part_number;revision;serial;build;characteristic;value;remark\nHB-204;C;S1;B1;1;42.01;a, b, c, d, e, f\nHB-204;C;S2;B1;2;8.5;,,,,,\n",
    "UTF-8, semicolon, decimal point",
    PLAIN_ROWS,
)
put(
    "line-breaks-in-quotes",
    f'{HEAD},remark\nHB-204,C,S1,B1,1,42.01,"one\ntwo\n\nfour"\nHB-204,C,S2,B1,2,8.5,"x"\n"HB-204","C","S3","B1","2","8.6","a\r\nb"\nHB-204,C,S4,B1,2,8.7,\n',
    POINT,
    [[2, "S1", "1", 42.01], [6, "S2", "2", 8.5], [7, "S3", "2", 8.6], [9, "S4", "2", 8.7]],
)
put(
    "quotation-marks",
    f'{HEAD},gauge\nHB-204,C,"S""1""",B1,1,42.01,"6"" calliper"\nHB-204,C,S2,B1,2,8.5,6" calliper\nHB-204,C,S3,B1,2,8.6,"a,b"\n',
    POINT,
    [[2, 'S"1"', "1", 42.01], [3, "S2", "2", 8.5], [4, "S3", "2", 8.6]],
)
put(
    "title-above-the-headings",
    f"Report of the coordinate measuring machine\nDate: 2026-03-02, shift 1\n\n{PLAIN}",
    POINT,
    [[5, "S1", "1", 42.01], [6, "S2", "2", 8.5]],
)
put(
    "delimiters-behind-the-last-column",
    f"{HEAD}\nHB-204,C,S1,B1,1,42.01,,,\nHB-204,C,S2,B1,2,8.5,\n",
    POINT,
    PLAIN_ROWS,
)
put(
    "blank-lines",
    f"\n{HEAD}\n\nHB-204,C,S1,B1,1,42.01\n,,,,,\n   \nHB-204,C,S2,B1,2,8.5\n\n\n",
    POINT,
    [[4, "S1", "1", 42.01], [7, "S2", "2", 8.5]],
)
put(
    "spaces-around-fields",
    " Part Number , REVISION , Serial No. , Build ID , Balloon , Actual Value \n HB-204 , C , S1 , B1 , 1 , 42.01 \n\u00a0HB-204\u00a0, C,S2,B1,2,\t8.5\n",
    POINT,
    PLAIN_ROWS,
)
put(
    "headings-in-other-words",
    "P/N,Rev.,S/N,Job,Feature,Result [mm],Operator\nHB-204,C,S1,B1,1,42.01,M. Doe\nHB-204,C,S2,B1,2,8.5,M. Doe\n",
    POINT,
    PLAIN_ROWS,
    inspectors=["M. Doe"],
)
put(
    "unknown-headings-twice",
    "remark,part_number,revision,remark,serial,build,characteristic,value,,\na,HB-204,C,b,S1,B1,1,42.01,c,d\na,HB-204,C,b,S2,B1,2,8.5,c,d\n",
    POINT,
    PLAIN_ROWS,
)
put(
    "signs-and-exponents",
    f"{HEAD}\nHB-204,C,S1,B1,1,+4.201e1\nHB-204,C,S2,B1,1,\u22120.5\nHB-204,C,S3,B1,1,.5\nHB-204,C,S4,B1,1,5.\nHB-204,C,S5,B1,1,007.50\nHB-204,C,S6,B1,1,-0\n",
    POINT,
    [[2, "S1", "1", 42.01], [3, "S2", "1", -0.5], [4, "S3", "1", 0.5], [5, "S4", "1", 5], [6, "S5", "1", 7.5], [7, "S6", "1", 0]],
)
put(
    "dates-day-first",
    f"{HEAD},date,time\nHB-204,C,S1,B1,1,42.01,3/4/2026,08:15\nHB-204,C,S2,B1,2,8.5,31/3/2026,23:59:59\n",
    POINT,
    PLAIN_ROWS,
    times=["2026-04-03T08:15:00.000Z", "2026-03-31T23:59:59.000Z"],
)
put(
    "dates-month-first",
    f"{HEAD},date\nHB-204,C,S1,B1,1,42.01,3/4/2026 8:15 PM\nHB-204,C,S2,B1,2,8.5,3/31/2026 12:05 am\n",
    POINT,
    PLAIN_ROWS,
    times=["2026-03-04T20:15:00.000Z", "2026-03-31T00:05:00.000Z"],
)
put(
    "dates-in-all-clear-ways",
    f"{HEAD},measured at\nHB-204,C,S1,B1,1,42.01,2026-03-02T08:15:00+02:00\nHB-204,C,S2,B1,2,8.5,02.03.2026 08:15\n"
    "HB-204,C,S3,B1,2,8.5,2-Mar-2026\nHB-204,C,S4,B1,2,8.5,2026/03/02 08:15:30.250\nHB-204,C,S5,B1,2,8.5,2026-03-02T08:15Z\n",
    POINT,
    PLAIN_ROWS + [[4, "S3", "2", 8.5], [5, "S4", "2", 8.5], [6, "S5", "2", 8.5]],
    times=[
        "2026-03-02T06:15:00.000Z",
        "2026-03-02T08:15:00.000Z",
        "2026-03-02T00:00:00.000Z",
        "2026-03-02T08:15:30.000Z",
        "2026-03-02T08:15:00.000Z",
    ],
)

# Shapes

WIDE = [
    [2, "S1", "Bore", 8.01],
    [2, "S1", "Length", 42.02],
    [3, "S2", "Bore", 8.02],
    [3, "S2", "Length", 42.03],
]
put(
    "a-part-a-row",
    "part_number,revision,serial,build,Length,Bore\nHB-204,C,S1,B1,42.02,8.01\nHB-204,C,S2,B1,42.03,8.02\n",
    POINT,
    WIDE,
)
put(
    "a-part-a-row-with-limits-above",
    "Part number:;HB-204\nRevision:;C\nBuild:;B1\n\n"
    "Nominal;42;8\nUpper limit;42,1;8,05\nLower limit;41,9;7,95\nUnit;mm;mm\n"
    "Serial;Length;Bore\nS1;42,02;8,01\nS2;42,03;8,02\n",
    "UTF-8, semicolon, decimal comma",
    [[10, "S1", "Bore", 8.01], [10, "S1", "Length", 42.02], [11, "S2", "Bore", 8.02], [11, "S2", "Length", 42.03]],
    limits={"Length": [42, 41.9, 42.1, "mm"], "Bore": [8, 7.95, 8.05, "mm"]},
)
put(
    "a-part-a-row-with-tolerances-below",
    "P/N\tRev\tBuild\tS/N\tLength [mm]\tBore [mm]\n\t\t\tNominal\t42\t8\n\t\t\tTol +\t0.1\t0.05\n\t\t\tTol -\t-0.1\t0.04\n"
    "HB-204\tC\tB1\tS1\t42.02\t8.01\nHB-204\tC\tB1\tS2\t42.03\t8.02\n",
    "UTF-8, tab, decimal point",
    [[5, "S1", "Bore", 8.01], [5, "S1", "Length", 42.02], [6, "S2", "Bore", 8.02], [6, "S2", "Length", 42.03]],
    limits={"Length": [42, 41.9, 42.1, "mm"], "Bore": [8, 7.96, 8.05, "mm"]},
)
put(
    "a-part-a-row-with-gaps-and-a-remark",
    "part_number,revision,part,build,Length,Bore,remark,OK\nHB-204,C,S1,B1,42.02,,scratch,1\nHB-204,C,S2,B1,-,8.02,,1\nHB-204,C,S3,B1,42.04,8.03,,1\n",
    POINT,
    [[2, "S1", "Length", 42.02], [3, "S2", "Bore", 8.02], [4, "S3", "Bore", 8.03], [4, "S3", "Length", 42.04]],
)
put(
    "a-heading-repeated-is-a-repeat",
    "part_number,revision,serial,build,Bore,Bore\nHB-204,C,S1,B1,8.01,8.02\nHB-204,C,S2,B1,8.03,8.04\n",
    POINT,
    [[2, "S1", "Bore", 8.01], [2, "S1", "Bore", 8.02], [3, "S2", "Bore", 8.03], [3, "S2", "Bore", 8.04]],
)
put(
    "a-characteristic-a-row",
    "Part number,HB-204\nRevision,C\nBuild,B1\nCharacteristic,Nominal,Lower limit,Upper limit,Unit,S1,S2\n"
    "Length,42,41.9,42.1,mm,42.02,42.03\nBore,8,7.95,8.05,mm,8.01,8.02\n",
    POINT,
    [[5, "S1", "Length", 42.02], [5, "S2", "Length", 42.03], [6, "S1", "Bore", 8.01], [6, "S2", "Bore", 8.02]],
    limits={"Length": [42, 41.9, 42.1, "mm"], "Bore": [8, 7.95, 8.05, "mm"]},
)
put(
    "a-characteristic-a-row-with-serials-above",
    "P/N;HB-204;;\nRev;C;;\nSerial;;S1;S2\nBuild;;B1;B2\nDate;;2026-03-02;2026-03-03\nFeature;Nominal;;\nLength;42;42.02;42.03\nBore;8;8.01;8.02\n",
    "UTF-8, semicolon, decimal point",
    [[7, "S1", "Length", 42.02], [7, "S2", "Length", 42.03], [8, "S1", "Bore", 8.01], [8, "S2", "Bore", 8.02]],
)
put(
    "blocks-of-one-part-each",
    "Part number: HB-204\nRevision: C\nBuild: B1\n\nSerial: S1\nDate: 2026-03-02 08:15\nCharacteristic;Nominal;Actual\nLength;42;42,02\nBore;8;8,01\n\n"
    "Serial: S2\nDate: 2026-03-02 08:20\nCharacteristic;Nominal;Actual\nLength;42;42,03\nBore;8;8,02\n",
    "UTF-8, semicolon, decimal comma",
    [[8, "S1", "Length", 42.02], [9, "S1", "Bore", 8.01], [14, "S2", "Length", 42.03], [15, "S2", "Bore", 8.02]],
    times=["2026-03-02T08:15:00.000Z"] * 2 + ["2026-03-02T08:20:00.000Z"] * 2,
)
put(
    "blocks-with-labels-in-cells",
    "Part,HB-204,Serial,S1,Build,B1\nRev,C\nDimension,Measured\nLength,42.02\nBore,8.01\nPart,HB-204,Serial,S2,Build,B2\nLength,42.03\nBore,8.02\n",
    POINT,
    [[4, "S1", "Length", 42.02], [5, "S1", "Bore", 8.01], [7, "S2", "Length", 42.03], [8, "S2", "Bore", 8.02]],
)
put(
    "part-number-above-the-headings",
    "Drawing: HB-204 \nRev: C\nOperator: M. Doe\n\nserial,build,characteristic,value\nS1,B1,1,42.01\nS2,B1,2,8.5\n",
    POINT,
    [[6, "S1", "1", 42.01], [7, "S2", "2", 8.5]],
    inspectors=["M. Doe"],
)

# Words of the trade

put(
    "headings-in-german",
    "Teilenummer;Änderungsstand;Seriennummer;Baujob;Merkmal;Nennmaß;Untere Toleranz;Obere Toleranz;Einheit;Istwert;Prüfer;Prüfdatum\n"
    "HB-204;C;S1;B1;1;42;-0,1;0,1;mm;42,01;J. Groß;02.03.2026\nHB-204;C;S2;B1;2;8;-0,05;0,05;mm;8,5;J. Groß;02.03.2026\n",
    "UTF-8, semicolon, decimal comma",
    PLAIN_ROWS,
    inspectors=["J. Groß"],
    times=["2026-03-02T00:00:00.000Z"] * 2,
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.95, 8.05, "mm"]},
)
put(
    "headings-in-french",
    "Numéro de plan;Indice;Numéro de série;Fabrication;Repère;Cote nominale;Écart inférieur;Écart supérieur;Unité;Valeur mesurée;Opérateur\n"
    "HB-204;C;S1;B1;1;42;0,1;0,1;mm;42,01;L. Été\nHB-204;C;S2;B1;2;8;0,05;0,05;mm;8,5;L. Été\n",
    "UTF-8, semicolon, decimal comma",
    PLAIN_ROWS,
    inspectors=["L. Été"],
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.95, 8.05, "mm"]},
)
put(
    "headings-in-italian",
    "Numero disegno;Revisione;Matricola;Stampa;Quota;Valore nominale;Tolleranza;Unità di misura;Valore misurato\n"
    "HB-204;C;S1;B1;1;42;±0,1;mm;42,01\nHB-204;C;S2;B1;2;8;+/- 0,05;mm;8,5\n",
    "UTF-8, semicolon, decimal comma",
    PLAIN_ROWS,
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.95, 8.05, "mm"]},
)
put(
    "headings-in-spanish",
    "Número de plano;Revisión;Número de serie;Fabricación;Cota;Valor nominal;Límite inferior;Límite superior;Unidad;Valor medido\n"
    "HB-204;C;S1;B1;1;42;41,9;42,1;mm;42,01\nHB-204;C;S2;B1;2;8;7,95;8,05;mm;8,5\n",
    "UTF-8, semicolon, decimal comma",
    PLAIN_ROWS,
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.95, 8.05, "mm"]},
)
put(
    "value-known-by-its-numbers",
    "part_number,revision,serial,build,characteristic,probe reading x\nHB-204,C,S1,B1,1,42.01\nHB-204,C,S2,B1,2,8.5\n",
    POINT,
    PLAIN_ROWS,
)

# Tolerances and deviations

put(
    "tolerances-in-one-field",
    f"{HEAD},nominal,tolerance\nHB-204,C,S1,B1,1,42.01,42 mm,±0.1\nHB-204,C,S2,B1,2,8.5,8,+0.05/-0.02\nHB-204,C,S3,B1,3,5.01,5 +0.1/+0.02,\n",
    POINT,
    PLAIN_ROWS + [[4, "S3", "3", 5.01]],
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.98, 8.05, "mm"], "3": [5, 5.02, 5.1, "mm"]},
)
put(
    "deviations-instead-of-values",
    "part_number,revision,serial,build,characteristic,nominal,tolerance,deviation\nHB-204,C,S1,B1,1,25.4,0.1,0.1\nHB-204,C,S2,B1,1,25.4,0.1,-0.3\n",
    POINT,
    [[2, "S1", "1", 25.5], [3, "S2", "1", 25.1]],
)

# Bytes, marks and lines

put("packed", gzip.compress(PLAIN.encode(), mtime=0), f"gzip, {POINT}", PLAIN_ROWS)
put("packed-utf-16", gzip.compress(PLAIN.encode("utf-16"), mtime=0), "gzip, UTF-16 LE, comma, decimal point", PLAIN_ROWS)
put("utf-16-little-endian-unmarked", PLAIN.encode("utf-16-le"), "UTF-16 LE, comma, decimal point", PLAIN_ROWS)
put("utf-16-big-endian-unmarked", PLAIN.encode("utf-16-be"), "UTF-16 BE, comma, decimal point", PLAIN_ROWS)
put(
    "units-behind-the-values",
    f"{HEAD}\nHB-204,C,S1,B1,1,42.01 mm\nHB-204,C,S2,B1,2,0.488in\nHB-204,C,S3,B1,3,45°\n",
    POINT,
    [[2, "S1", "1", 42.01], [3, "S2", "2", 0.488], [4, "S3", "3", 45]],
    limits={"1": [None, None, None, "mm"], "2": [None, None, None, "in"], "3": [None, None, None, "deg"]},
)
put(
    "thousands",
    "part_number;revision;serial;build;characteristic;value;unit\nHB-204;C;S1;B1;1;1.234,5;um\nHB-204;C;S2;B1;1;1 235,5;um\nHB-204;C;S3;B1;1;1'236;um\n",
    "UTF-8, semicolon, decimal comma",
    [[2, "S1", "1", 1234.5], [3, "S2", "1", 1235.5], [4, "S3", "1", 1236]],
)
put(
    "comment-lines",
    f"# written by the measuring room\n{HEAD}\n# first part, a, b\nHB-204,C,S1,B1,1,42.01\nHB-204,C,S2,B1,2,8.5\n# end\n",
    POINT,
    [[4, "S1", "1", 42.01], [5, "S2", "2", 8.5]],
)
put(
    "two-files-one-behind-the-other",
    f"{PLAIN}{HEAD}\nHB-204,C,S3,B1,2,8.6\n",
    POINT,
    PLAIN_ROWS + [[5, "S3", "2", 8.6]],
)
put(
    "dates-with-names-and-short-years",
    f"{HEAD},date\nHB-204,C,S1,B1,1,42.01,\"March 2, 2026\"\nHB-204,C,S2,B1,2,8.5,02.03.26 08:15\nHB-204,C,S3,B1,2,8.5,20260302\n",
    POINT,
    PLAIN_ROWS + [[4, "S3", "2", 8.5]],
    times=["2026-03-02T00:00:00.000Z", "2026-03-02T08:15:00.000Z", "2026-03-02T00:00:00.000Z"],
)

# Several traps at once, as exports bring them

put(
    "pasted-cells-with-line-breaks-and-empty-columns",
    'P/N\tRev\tS/N\tBuild\tCharacteristic\tValue\tRemark\t\t\r\nHB-204\tC\tS1\tB1\t1\t42.01\t"seen\r\ntwice"\t\t\r\nHB-204\tC\tS2\tB1\t2\t8.5\t\t\t\r\n',
    "UTF-8, tab, decimal point",
    [[2, "S1", "1", 42.01], [4, "S2", "2", 8.5]],
)
put(
    "german-utf-16-lines-end-in-cr",
    "Teilenummer;Index;Seriennummer;Baujob;Merkmal;Nennmaß;Toleranz;Einheit;Messwert\r"
    "HB-204;C;S1;B1;1;42;±0,1;mm;42,01\rHB-204;C;S2;B1;2;8;±0,05;mm;8,5\r".encode("utf-16"),
    "UTF-16 LE, semicolon, decimal comma",
    PLAIN_ROWS,
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.95, 8.05, "mm"]},
)
put(
    "french-windows-1252-a-part-a-row-with-one-tolerance",
    "Numéro de plan;Indice;Fabrication;Numéro de série;Longueur [mm];Alésage [mm]\r\n"
    ";;;Cote nominale;42;8\r\n;;;Tolérance;±0,1;±0,05\r\n"
    "HB-204;C;B1;S1;42,02;8,01\r\nHB-204;C;B1;S2;42,03;8,02\r\n".encode("cp1252"),
    "Windows-1252, semicolon, decimal comma",
    [[4, "S1", "Alésage", 8.01], [4, "S1", "Longueur", 42.02], [5, "S2", "Alésage", 8.02], [5, "S2", "Longueur", 42.03]],
    limits={"Longueur": [42, 41.9, 42.1, "mm"], "Alésage": [8, 7.95, 8.05, "mm"]},
)
put(
    "comments-and-delimiters-behind-a-part-a-row",
    "# first shift\nP/N,Rev,S/N,Build,Length,Bore,,\nHB-204,C,S1,B1,42.02,8.01,,\n# recalibrated\nHB-204,C,S2,B1,42.03,8.02,,\n",
    POINT,
    [[3, "S1", "Bore", 8.01], [3, "S1", "Length", 42.02], [5, "S2", "Bore", 8.02], [5, "S2", "Length", 42.03]],
)
put(
    "spanish-plus-and-minus-with-signs-mixed",
    "Número de plano;Revisión;Número de serie;Fabricación;Característica;Valor nominal;Tolerancia superior;Tolerancia inferior;Unidad;Valor medido\n"
    "HB-204;C;S1;B1;1;42;+0,1;-0,1;mm;42,01\nHB-204;C;S2;B1;2;8;0,05;0,04;mm;8,5\n",
    "UTF-8, semicolon, decimal comma",
    PLAIN_ROWS,
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.96, 8.05, "mm"]},
)
put(
    "german-a-characteristic-a-row-with-units-in-cells",
    "Teilenummer;Index;Baujob;Merkmal;Nennmaß;Toleranz;S1;S2\n"
    "HB-204;C;B1;1;42 mm;±0,1;42,01 mm;42,02 mm\nHB-204;C;B1;2;8 mm;±0,05;8,01 mm;8,02 mm\n",
    "UTF-8, semicolon, decimal comma",
    [[2, "S1", "1", 42.01], [2, "S2", "1", 42.02], [3, "S1", "2", 8.01], [3, "S2", "2", 8.02]],
    limits={"1": [42, 41.9, 42.1, "mm"], "2": [8, 7.95, 8.05, "mm"]},
)
put(
    "packed-blocks-in-italian",
    gzip.compress(
        "Numero disegno;HB-204\nRevisione;C\nMatricola;S1\nStampa;B1\nQuota;Valore nominale;Valore misurato\n1;42;42,01\n2;8;8,01\n\n"
        "Matricola;S2\nStampa;B1\nQuota;Valore nominale;Valore misurato\n1;42;42,02\n2;8;8,02\n".encode(),
        mtime=0,
    ),
    "gzip, UTF-8, semicolon, decimal comma",
    [[6, "S1", "1", 42.01], [7, "S1", "2", 8.01], [12, "S2", "1", 42.02], [13, "S2", "2", 8.02]],
)

# Limits of a part's own: values in units of its own tolerance; `own` has line, designator, value as measured, its limits

OWN = "× own tolerance"
put(
    "german-bonus-at-maximum-material",
    "Teilenummer;Index;Seriennummer;Baujob;Merkmal;Merkmalsart;Toleranz;Bonus;Istwert\n"
    "HB-204;C;S1;B1;7;Position;0,2;0;0,1\nHB-204;C;S2;B1;7;Position;0,2;0,05;0,1\nHB-204;C;S3;B1;7;Position;0,2;0,2;0,5\n",
    "UTF-8, semicolon, decimal comma",
    [[2, "S1", "7", 0.5], [3, "S2", "7", 0.4], [4, "S3", "7", 1.25]],
    limits={"7": [None, None, 1, OWN]},
    own=[[2, "7", 0.1, None, 0.2], [3, "7", 0.1, None, 0.25], [4, "7", 0.5, None, 0.4]],
)
put(
    "french-limits-at-maximum-material-beside-a-part-a-row",
    "Numéro de plan;Indice;Numéro de série;Fabrication;Longueur;Perçage;Perçage limite (maximum de matière);Planéité\n"
    "HB-204;C;S1;B1;42,02;0,1;0,25;0,03\nHB-204;C;S2;B1;42,03;0,2;0,4;0,04\n",
    "UTF-8, semicolon, decimal comma",
    [
        [2, "S1", "Longueur", 42.02], [2, "S1", "Perçage", 0.4], [2, "S1", "Planéité", 0.03],
        [3, "S2", "Longueur", 42.03], [3, "S2", "Perçage", 0.5], [3, "S2", "Planéité", 0.04],
    ],
    limits={"Perçage": [None, None, 1, OWN], "Longueur": [None, None, None, "mm"]},
    own=[[2, "Perçage", 0.1, None, 0.25], [3, "Perçage", 0.2, None, 0.4]],
)
put(
    "blocks-with-a-tolerance-at-maximum-material",
    "Part number: HB-204\nRevision: C\nBuild: B1\n\nSerial: S1\nCharacteristic;Actual;Tolerance Ⓜ\nBore position;0.1;0.2\nSlot position;0.2;0.25\n\n"
    "Serial: S2\nCharacteristic;Actual;Tolerance Ⓜ\nBore position;0.2;0.4\nSlot position;0.2;0.2\n",
    "UTF-8, semicolon, decimal point",
    [
        [7, "S1", "Bore position", 0.5], [8, "S1", "Slot position", 0.8],
        [12, "S2", "Bore position", 0.5], [13, "S2", "Slot position", 1],
    ],
    limits={"Bore position": [None, None, 1, OWN]},
    own=[
        [7, "Bore position", 0.1, None, 0.2], [8, "Slot position", 0.2, None, 0.25],
        [12, "Bore position", 0.2, None, 0.4], [13, "Slot position", 0.2, None, 0.2],
    ],
)
put(
    "italian-two-limits-of-the-part",
    "Numero disegno;Revisione;Matricola;Stampa;Quota;Limite inferiore del pezzo;Limite superiore del pezzo;Valore misurato\n"
    "HB-204;C;S1;B1;4;2;3;2,75\nHB-204;C;S2;B1;4;2;4;2,5\n",
    "UTF-8, semicolon, decimal comma",
    [[2, "S1", "4", 0.5], [3, "S2", "4", -0.5]],
    limits={"4": [None, -1, 1, OWN]},
    own=[[2, "4", 2.75, 2, 3], [3, "4", 2.5, 2, 4]],
)
put(
    "spanish-total-tolerance-with-bonus-and-units",
    "Número de plano\tRevisión\tNúmero de serie\tFabricación\tCota\tTolerancia\tTolerancia con bonus\tBonus\tValor medido\n"
    "HB-204\tC\tS1\tB1\t7\t0,2 mm\t0,25 mm\t0,05 mm\t0,1 mm\nHB-204\tC\tS2\tB1\t7\t0,2 mm\t\t0,2 mm\t0,2 mm\n",
    "UTF-8, tab, decimal comma",
    [[2, "S1", "7", 0.4], [3, "S2", "7", 0.5]],
    limits={"7": [None, None, 1, OWN]},
    own=[[2, "7", 0.1, None, 0.25], [3, "7", 0.2, None, 0.4]],
)
