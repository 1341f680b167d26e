"""Measured values of the QIF samples, read with expat: python3 make.py"""
import json
import pathlib
import sys
from xml.parsers import expat

here = pathlib.Path(__file__).parent


def values(path):
    stack, text, record = [], "", {}
    designators, serials, results, rows = {}, {}, [], []

    def start(name, attributes):
        nonlocal text, record
        stack.append(name)
        text = ""
        if name.endswith("CharacteristicItem") or name in ("ActualComponent",):
            record = {"id": attributes["id"]}
        if name.endswith("CharacteristicMeasurement"):
            record = {}
        if name == "MeasurementResults":
            results.append([])
        if name == "Value":
            record["line"] = parser.CurrentLineNumber

    def data(piece):
        nonlocal text
        text += piece

    def end(name):
        nonlocal text
        stack.pop()
        parent = stack[-1] if stack else ""
        if name == "Designator" and parent == "CharacteristicDesignator":
            designators[record["id"]] = text.strip()
        if name == "SerialNumber":
            serials[record["id"]] = text.strip()
        if name in ("CharacteristicItemId", "Value") and parent.endswith("CharacteristicMeasurement"):
            record[name] = text.strip()
        if name == "Id" and parent == "ActualComponentIds":
            for row in results[-1]:
                row["component"] = text.strip()
        if name.endswith("CharacteristicMeasurement"):
            row = {"line": record["line"], "item": record["CharacteristicItemId"], "value": record["Value"]}
            rows.append(row)
            results[-1].append(row)
        text = ""

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, data
    parser.Parse(path.read_bytes(), True)
    return [
        {
            "line": row["line"],
            "serial": serials.get(row["component"], ""),
            "designator": designators[row["item"]],
            "value": row["value"],
        }
        for row in rows
    ]


for path in sorted(here.glob("*.qif")):
    made = {"made by": f"Python {sys.version.split()[0]}, {expat.EXPAT_VERSION}", "values": values(path)}
    lines = ",\n".join("  " + json.dumps(row) for row in made["values"])
    path.with_suffix(".json").write_text(f'{{\n"made by": {json.dumps(made["made by"])},\n"values": [\n{lines}\n]\n}}\n')
