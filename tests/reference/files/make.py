"""Writes the awkward files of this folder, one trap each, and beside each its expected reading.

    python3 make.py

The readings are written down by hand here, not computed by any program: line, serial number, designator, value.
"""
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
