# SPDX-License-Identifier: MIT
"""How a sound CSV, TOML, JSON or other file is spoiled: each way a name and a
function of the sound text."""
import json
import pathlib
import re

ROOT = pathlib.Path(__file__).resolve().parents[2]
INPUT = ROOT / "tests" / "cli" / "input"

ZIP = b"PK\x03\x04\x14\x00\x06\x00" + bytes(range(256))
MP4 = b"\x00\x00\x00\x20ftypisom\x00\x00\x02\x00isomiso2avc1mp41" + bytes(99)
JUNK = bytes((i * 131 + 7) % 256 for i in range(5000))


def csv_text(columns, rows):
    return "\n".join([",".join(columns)] +
                     [",".join(str(cell) for cell in row) for row in rows]) + "\n"


def feeds_rows():
    columns = ["feed", "t_bounce_s", "x_mm", "sx_mm", "y_mm", "sy_mm",
               "speed_in_mps", "s_speed_in_mps", "status", "ball", "ret_z_mm"]
    rows = []
    for i in range(1, 41):
        wobble = (i * 37 % 17 - 8) / 8
        rows.append([i, f"{1.5 * i:.3f}", f"{650 + 12 * wobble:.1f}", 2,
                     f"{(i * 23 % 13 - 6):.1f}", 1,
                     f"{5.4 + 0.03 * (i * 29 % 11 - 5) / 5:.3f}", 0.01,
                     "measured", 1 + i % 3, 160 + i * 31 % 19])
    return columns, rows


# --- ways to spoil a file: (name, function of the sound text -> bytes or None)

def replaced(old, new, count=1):
    def spoil(text):
        if old not in text:
            raise KeyError(old)
        return text.replace(old, new, count)
    return spoil


ANY = [
    ("empty", lambda text: ""),
    ("line ends only", lambda text: "\n\n\r\n"),
    ("spreadsheet", lambda text: ZIP),
    ("film", lambda text: MP4),
    ("bytes", lambda text: JUNK),
    ("UTF-16", lambda text: text.encode("utf-16")),
    ("UTF-16 without mark", lambda text: text.encode("utf-16-le")),
    ("a zero byte", lambda text: text[:len(text) // 2] + "\0" +
     text[len(text) // 2:]),
]

# Latin-1 is no fault of TOML and JSON readers alone: it is none in UTF-8.
LATIN = ("Latin-1", lambda text: text.encode() + b"# Gr\xf6\xdfe\n")


def cell(row, column, value):
    """One cell of a CSV replaced."""
    def spoil(text):
        lines = text.rstrip("\n").split("\n")
        at = lines[0].split(",").index(column)
        cells = lines[row].split(",")
        cells[at] = value
        lines[row] = ",".join(cells)
        return "\n".join(lines) + "\n"
    return spoil


def without_column(column):
    def spoil(text):
        lines = [line.split(",") for line in text.rstrip("\n").split("\n")]
        at = lines[0].index(column)
        return "\n".join(",".join(c for k, c in enumerate(line) if k != at)
                         for line in lines) + "\n"
    return spoil


def rows_swapped(a, b):
    def spoil(text):
        lines = text.rstrip("\n").split("\n")
        lines[a], lines[b] = lines[b], lines[a]
        return "\n".join(lines) + "\n"
    return spoil


def csv_ways(need, number=None, row=2):
    """For any CSV: `need` are the columns it must have, `number` a column of
    numbers that is read."""
    ways = ANY + [
        ("two columns of a name", lambda text: re.sub(
            r"^([^,\n]+)", r"\1,\1", text, count=1)),
        ("a row too short", lambda text: text + "1\n"),
        ("a row too long", lambda text: text.rstrip("\n") + ",9\n"),
        ("an open quote", lambda text: text + '"abc\n'),
        ("separators that may be two", lambda text: text.replace(
            ",", ";", 1)),
    ]
    ways += [(f"no column {name}", without_column(name)) for name in need]
    if number:
        ways += [(f"{name} in a number", cell(row, number, value))
                 for name, value in [
                     ("a word", "abc"), ("nan", "nan"), ("inf", "inf"),
                     ("1e999", "1e999"), ("a unit", "12 mm"),
                     ("hexadecimal", "0x10"), ("two points", "1.2.3"),
                     ("a megabyte", "7" * 1_000_000 + "z"),
                     ("ESC", "\x1b[2Jx")]]
    return ways


FEED_NUMBER_WAYS = [
    ("feed 2.5", cell(2, "feed", "2.5")),
    ("feed 1e300", cell(2, "feed", "1e300")),
    ("feed 1e10", cell(2, "feed", "1e10")),
    ("no feed number", cell(2, "feed", "")),
]
FEED_WAYS = FEED_NUMBER_WAYS + [
    ("a feed twice", cell(3, "feed", "2")),
    ("feeds out of order", rows_swapped(3, 9)),
    ("negative sigma", cell(4, "sx_mm", "-2")),
    ("unknown status", cell(4, "status", "maybe")),
    ("time goes back", cell(9, "t_bounce_s", "1")),
    ("header alone", lambda text: text.split("\n")[0] + "\n"),
]
SEMICOLONS = [
    ("thousands or decimals", lambda text: "feed;x_mm\n1;1,204\n2;1,198\n"),
    ("comma and point", lambda text: "feed;x_mm;y_mm\n1;6,5;3.5\n2;6,5;3.5\n"),
]

TOML_WAYS = ANY + [
    LATIN,
    ("no TOML", lambda text: "this is not TOML\n" + text),
    ("unknown key at the top", lambda text: "colour = \"blue\"\n" + text),
    ("unknown section", lambda text: text + "\n[nonsense]\na = 1\n"),
    ("a key of many parts", lambda text: text + "\n" + "a." * 50_000 + "b = 1\n"),
    ("an open string", lambda text: text + '\nb = "abc\n'),
    ("JSON", lambda text: "{\"a\": 1}"),
]


def toml_value(key, values):
    """Ways to spoil `key`, wherever it stands first."""
    def way(value):
        def spoil(text):
            spoiled, count = re.subn(
                rf"(?m)^{re.escape(key)} *=.*$", f"{key} = {value}", text, 1)
            if not count:
                raise KeyError(key)
            return spoiled
        return spoil
    return [(f"{key} = {value[:20]}", way(value)) for value in values]


def toml_without(key):
    def spoil(text):
        spoiled, count = re.subn(rf"(?m)^{re.escape(key)} *=.*$", "", text, 1)
        if not count:
            raise KeyError(key)
        return spoiled
    return [(f"no {key}", spoil)]


NUMBERS = ["nan", "inf", "1e300", '"12"', "true", "[1]", "-1e9"]

JSON_WAYS = ANY + [
    ("no JSON", lambda text: "not JSON"),
    ("a list", lambda text: "[1, 2]"),
    ("half", lambda text: text[:len(text) // 2]),
    ("nested", lambda text: "{\"a\": " + "[" * 100_000 + "]" * 100_000 + "}"),
]


def json_key(key, values):
    def way(value):
        def spoil(text):
            data = json.loads(text)
            if key not in data:
                raise KeyError(key)
            data[key] = "@@"
            return json.dumps(data).replace('"@@"', value)
        return spoil
    return [(f"{key} = {value[:20]}", way(value)) for value in values]
