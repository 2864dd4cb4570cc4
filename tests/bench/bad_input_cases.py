# SPDX-License-Identifier: MIT
"""What bad_inputs hands over: sound inputs for every command, and which of the
ways of bad_input_ways each may be spoiled in."""
import json
import pathlib
import shutil
import subprocess
import sys
import zlib

from bad_input_ways import (
    FEED_NUMBER_WAYS, FEED_WAYS, INPUT, JSON_WAYS, JUNK, NUMBERS, ROOT,
    SEMICOLONS, TOML_WAYS, ZIP, cell, csv_text, csv_ways, feeds_rows,
    json_key, toml_value, toml_without)


# A white PNG of 8 by 8 pixels.
def chunk(kind, data):
    body = kind + data
    return (len(data).to_bytes(4, "big") + body +
            zlib.crc32(body).to_bytes(4, "big"))


PHOTO = (b"\x89PNG\r\n\x1a\n" +
         chunk(b"IHDR", bytes([0, 0, 0, 8, 0, 0, 0, 8, 8, 0, 0, 0, 0])) +
         chunk(b"IDAT", zlib.compress((b"\0" + b"\xff" * 8) * 8)) +
         chunk(b"IEND", b""))


def make_base(program, folder):
    """Sound inputs, by file name; returns them as text."""
    shutil.copytree(INPUT, folder, dirs_exist_ok=True)
    profiles = ROOT / "profiles"
    shutil.copy(profiles / "table-tennis.toml", folder / "profile.toml")
    shutil.copy(profiles / "scenes" / "short640p60.toml", folder / "scene.toml")
    (folder / "feeds.csv").write_text(csv_text(*feeds_rows()))
    (folder / "sightings.csv").write_text(csv_text(
        ["t_s", "u_px", "v_px"],
        [[f"{i / 60:.4f}", 40 + i, 60] for i in range(60)]))
    (folder / "points.csv").write_text(csv_text(
        ["name", "u_px", "v_px"],
        [["corner_near_left", 10, 10], ["corner_near_right", 10, 110],
         ["corner_far_left", 150, 10], ["corner_far_right", 150, 110]]))
    (folder / "lens.toml").write_text(
        "width_px = 160\nheight_px = 120\nfocal_px = 120\nk1 = 0\nk2 = 0\n")
    (folder / "kinds.csv").write_text(csv_text(
        ["sample", "kind", "thickness_mm"],
        [["K", "soft", 2.0], ["M", "hard", 1.8], ["P", "soft", 1.8],
         ["R", "hard", 2.0]]))
    (folder / "split.csv").write_text(csv_text(
        ["order", "sample"],
        [[i, "K" if i % 2 else "M"] for i in range(1, 41)]))
    (folder / "verdicts.csv").write_text(csv_text(
        ["feed", "verdict", "note"], [[1, "keep", "seen"], [2, "discard", "net"]]))
    rows = [[i, "K" if i % 2 else "M", 650 + i * 7 % 13, 5.4 + i * 5 % 7 / 100]
            for i in range(1, 41)]
    (folder / "bysample.csv").write_text(csv_text(
        ["feed", "sample", "x_mm", "speed_in_mps"], rows))
    (folder / "photo.png").write_bytes(PHOTO)
    (folder / "afolder").mkdir()
    (folder / "weeks.toml").write_text((INPUT / "weeks.toml").read_text())

    def run(*words):
        done = subprocess.run([program, *words], cwd=folder,
                              capture_output=True, text=True)
        if done.returncode not in (0,):
            sys.exit(f"sound input refused: {words}\n{done.stderr}")
    run("qualify", "feeds.csv", "--out", "tagged.csv", "--summary",
        "summary.json", "--no-limits", "--baseline-out", "baseline.json")
    run("pair", "sheet-K.csv", "sheet-M.csv", "--outcome", "ret_speed_mps",
        "--include", "review", "--out", "paired")
    shutil.copy(folder / "paired" / "effect.json", folder / "pilot.json")
    shutil.rmtree(folder / "paired")
    run("store", "add", "kept-session", "--db", "good.db")
    session = folder / "whole"
    session.mkdir()
    for name in ("tagged.csv", "summary.json"):
        shutil.copy(folder / name, session / name)
    told = json.loads((folder / "kept-session" / "session.json").read_text())
    told["sha256"] = "0" * 64  # another film's
    (session / "session.json").write_text(json.dumps(told))
    shutil.copy(folder / "kept-session" / "profile.toml", session)
    shutil.copy(folder / "bench.toml", session)
    shutil.copy(folder / "baseline.json", session)
    run("report", "whole", "--out", "page.html")
    (folder / "page.html").unlink()
    run("store", "add", "whole", "--db", "good.db", "--launcher", "L",
        "--sample", "S")


# (command that reads the file, the file, ways)
READERS = [
    ("qualify feeds.csv --out o.csv --summary o.json", "feeds.csv",
     csv_ways(["feed"], "x_mm") + FEED_WAYS + SEMICOLONS),
    ("qualify feeds.csv --overrule verdicts.csv --out o.csv", "verdicts.csv",
     csv_ways(["feed", "verdict", "note"]) + [
         ("a feed that is not there", cell(1, "feed", "99")),
         ("a word for the feed", cell(1, "feed", "x")),
         ("no verdict", cell(1, "verdict", "")),
         ("unknown verdict", cell(1, "verdict", "maybe")),
         ("no note", cell(1, "note", "")),
         ("a feed twice", cell(2, "feed", "1"))]),
    ("qualify feeds.csv --baseline baseline.json --out o.csv", "baseline.json",
     JSON_WAYS + json_key("n", ["1e300", "2.5", "-3", '"x"', "null", "1"]) +
     json_key("mean", ["[]", "1", '["a"]', "null"]) +
     json_key("covariance", ["[]", "[[1]]", '"x"', "null"]) +
     json_key("format", ['"other"', "1"]) +
     json_key("characteristics", ["[]", '["x_mm", "x_mm"]', '["absent"]', "1"])),
    ("pair sheet-K.csv sheet-M.csv --include review --out o", "sheet-M.csv",
     csv_ways(["feed"], "x_mm") + FEED_NUMBER_WAYS + [
         ("unknown verdict", cell(5, "verdict", "maybe")),
         ("negative sigma", cell(5, "sx_mm", "-1"))]),
    ("pair feeds.csv --order split.csv --out o", "split.csv",
     csv_ways(["order", "sample"], "order") + [
         ("counted by sample", lambda text: csv_text(
             ["order", "sample"],
             [[(i + 1) // 2, "K" if i % 2 else "M"] for i in range(1, 41)])),
         ("one sample", lambda text: text.replace(",M", ",K"))]),
    ("pair sheet-K.csv sheet-M.csv --include review --outcomes outcomes-K.csv "
     "outcomes-M.csv --out o", "outcomes-M.csv",
     csv_ways(["feed"], "height_mm") + FEED_NUMBER_WAYS + [
         ("a feed twice", cell(3, "feed", "2"))]),
    ("pair sheet-K.csv sheet-M.csv --include review --samples samples.csv "
     "--out o", "samples.csv", csv_ways(["sample"])),
    ("plan factors kinds.csv", "kinds.csv", csv_ways(["sample"])),
    ("pair bysample.csv --include review --out o", "bysample.csv",
     csv_ways(["feed", "sample"], "x_mm") + FEED_NUMBER_WAYS + [
         ("one sample", lambda text: text.replace(",M", ",K")),
         ("a feed twice", cell(3, "feed", "2"))]),
    ("live --rehearse no-table.mp4 --order order.csv --out o --fast --yes "
     "--no-page", "order.csv",
     csv_ways(["sample"], "order") + [
         ("a row twice", cell(2, "order", "1")),
         ("a formula for a sample", cell(2, "sample", "=1+1"))]),
    ("plan trials --pilot pilot.json --difference 0.1", "pilot.json",
     JSON_WAYS + json_key("effects", ["[]", "1", "null", '["x"]'])),
    ("measure --sightings sightings.csv --bench bench.toml --out o.csv",
     "sightings.csv", csv_ways(["t_s", "u_px", "v_px"], "u_px")),
    ("plan camera --bench bench.toml --out o", "bench.toml",
     TOML_WAYS + toml_value("width_px", NUMBERS + ["0", "2.5"]) +
     toml_value("focal_px", NUMBERS + ["0"]) +
     toml_value("centre_px", ["[1]", "3", '["a", "b"]']) +
     toml_value("rotation_wxyz", ["[0, 0, 0, 0]", "[1]", "[nan, 0, 0, 1]"]) +
     toml_value("translation_mm", ["[0, 0, 1e300]", "[]"]) +
     toml_value("covariance", ["[]", "[-1]", "3"]) + toml_without("focal_px")),
    ("calibrate no-table.mp4 --lens lens.toml --out o.toml", "lens.toml",
     TOML_WAYS + toml_value("focal_px", NUMBERS + ["0"]) +
     toml_value("width_px", ["0", "-4", "2.5"]) + toml_without("width_px")),
    ("calibrate no-table.mp4 --points points.csv --out o.toml", "points.csv",
     csv_ways(["name", "u_px", "v_px"], "u_px") + [
         ("no such landmark", cell(2, "name", "elbow")),
         ("a landmark twice", cell(2, "name", "corner_near_left"))]),
    ("qualify feeds.csv --profile profile.toml --out o.csv", "profile.toml",
     TOML_WAYS + toml_value("length_mm", NUMBERS + ["0"]) +
     toml_value("radius_mm", NUMBERS + ["0"]) +
     toml_value("drag", ["nan", '"x"', "-1"]) + toml_without("length_mm")),
    ("simulate --scene scene.toml --out o", "scene.toml",
     TOML_WAYS + toml_value("width_px", NUMBERS + ["0", "2.5"]) +
     toml_value("fps", NUMBERS + ["0"]) +
     toml_value("eye_mm", ["[1]", "[nan, 0, 0]", '"x"']) +
     toml_value("feeds", ["-1", "2.5", '"x"', "100000000"]) +
     toml_value("profile", ['"nonsense"', "3"])),
    ("simulate --weeks weeks.toml --db o.db", "weeks.toml",
     TOML_WAYS + toml_value("weeks", ["0", "-1", "nan", '"x"', "100000000"]) +
     toml_value("start", ['"yesterday"', "3"]) + toml_without("launcher")),
    ("report whole --out o.html", "whole/tagged.csv",
     csv_ways(["feed", "verdict", "phase", "reasons"], "x_mm") +
     FEED_NUMBER_WAYS + [
         ("unknown verdict", cell(5, "verdict", "maybe")),
         ("unknown phase", cell(5, "phase", "later"))]),
    ("report whole --out o.html", "whole/summary.json",
     JSON_WAYS + json_key("ready", ["1", '"yes"']) +
     json_key("baseline", ["1", "[]"]) + json_key("signals", ["1", "{}"]) +
     json_key("charts", ["1", '[{"feeds": "x"}]'])),
    ("report whole --out o.html", "whole/session.json",
     JSON_WAYS + json_key("bytes", ['"x"', "2.5"]) +
     json_key("settings", ["1", '{"a": 1}']) + json_key("launcher", ["3"])),
    ("report whole --out o.html", "whole/bench.toml",
     TOML_WAYS + toml_value("width_px", ["nan", "0"])),
    ("store add whole --db good.db --launcher A --sample S --replace",
     "whole/tagged.csv", csv_ways(["feed", "verdict", "phase", "reasons"]) +
     FEED_NUMBER_WAYS + [("a feed twice", cell(3, "feed", "2"))]),
    ("store add whole --db good.db --launcher A --sample S --replace",
     "whole/summary.json", JSON_WAYS + json_key("ready", ["1", '"yes"'])),
    ("store list --db good.db", "good.db",
     [("a text", lambda text: "feed,x\n1,2\n"), ("bytes", lambda text: JUNK),
      ("spreadsheet", lambda text: ZIP)]),
    ("wear --db good.db --launcher bench-A", "good.db",
     [("a text", lambda text: "feed,x\n1,2\n"), ("bytes", lambda text: JUNK)]),
    ("session no-table.mp4 --out o", "no-table.mp4",
     [("empty", lambda text: ""), ("spreadsheet", lambda text: ZIP),
      ("bytes", lambda text: JUNK), ("a text", lambda text: "feed,x\n")]),
    ("measure no-table.mp4 --bench bench.toml --out o.csv", "no-table.mp4",
     [("empty", lambda text: ""), ("spreadsheet", lambda text: ZIP),
      ("bytes", lambda text: JUNK)]),
]

LONG = "x" * 300
OUTPUTS = [  # (command with {}, the option)
    ("qualify feeds.csv --out {}", "--out"),
    ("qualify feeds.csv --summary {}", "--summary"),
    ("qualify feeds.csv --no-limits --baseline-out {}", "--baseline-out"),
    ("plan charts --out {}", "--out"),
    ("report whole --out {}", "--out"),
    ("measure --sightings sightings.csv --bench bench.toml --out {}", "--out"),
    ("calibrate no-table.mp4 --out {}", "--out"),
    ("calibrate no-table.mp4 --overlay {}", "--overlay"),
    ("store backup --db good.db --out {}", ""),
]
FOLDERS = [
    "pair sheet-K.csv sheet-M.csv --include review --out {}",
    "plan order --samples K,M --out {}",
    "wear --db good.db --launcher bench-A --out {}",
    "store export 1 --db good.db --out {}",
    "session no-table.mp4 --out {}",
    "simulate --scene scene.toml --out {}",
]
NUMBER_OPTIONS = [
    ("calibrate no-table.mp4", ["--camera-height", "--exposure-ms",
                                "--readout-ms", "--slow"]),
    ("measure --sightings sightings.csv --bench bench.toml",
     ["--slow", "--sample-x"]),
    ("pair sheet-K.csv sheet-M.csv",
     ["--caliper-sd", "--difference", "--confidence", "--planned", "--ratio"]),
    ("plan trials --difference 1 --sd 1",
     ["--sd", "--alpha", "--power", "--paired-share"]),
    ("plan order --samples K,M", ["--trials", "--turn", "--balls", "--seed"]),
    ("plan camera --height 2400 --distance 900",
     ["--height", "--fps", "--noise-px", "--speed-mps", "--exposure-ms",
      "--before-mm"]),
    ("plan charts", ["--run-length", "--lambda", "--cusum-k",
                     "--characteristics"]),
    ("simulate --scene scene.toml --out o", ["--seed"]),
]
LINES = [  # (command, the place its message must name)
    ("qualify absent.csv", "absent.csv"),
    ("qualify afolder", "afolder"),
    ("qualify feeds.csv --characteristics absent", "absent"),
    ("qualify feeds.csv --characteristics x_mm,x_mm", "x_mm"),
    ("qualify feeds.csv --characteristics feed", "feed"),
    ("qualify feeds.csv --profile absent", "--profile"),
    ("qualify feeds.csv --profile afolder", "afolder"),
    ("qualify feeds.csv --out feeds.csv", "--out"),
    ("qualify feeds.csv --out o --summary o", "--summary"),
    ("qualify feeds.csv --out ./o --summary afolder/../o", "--summary"),
    ("qualify", "FEEDS"),
    ("pair sheet-K.csv", "Give a second feeds file"),
    ("pair sheet-K.csv sheet-K.csv", "--names"),
    ("pair sheet-K.csv sheet-M.csv --names K", "--names"),
    ("pair sheet-K.csv sheet-M.csv --names K,M,P", "--names"),
    ("pair sheet-K.csv sheet-M.csv --outcome absent --include review", "absent"),
    ("pair sheet-K.csv sheet-M.csv --include all", "--include"),
    ("pair sheet-K.csv sheet-M.csv --outcomes outcomes-K.csv", "--outcomes"),
    ("pair --counts 5/4,1/2", "--counts"),
    ("pair --counts 4,1/2", "--counts"),
    ("pair --counts 4/x,1/2", "--counts"),
    ("pair --counts -4/5,1/2", "--counts"),
    ("pair --counts 1e9/1e10,1/2", "--counts"),
    ("plan trials", "--sd"),
    ("plan trials --rates 0.5", "--rates"),
    ("plan trials --rates 0.5,0.5", "rates"),
    ("plan trials --rates 0.5,1.5", "rate"),
    ("plan trials --difference x --sd 1", "--difference"),
    ("plan order --samples K", "--samples"),
    ("plan order --samples K,K", "--samples"),
    ("plan order --samples =K,M", "--samples"),
    ("plan camera --eye-mm 1,2", "--eye-mm"),
    ("plan camera --eye-mm nan,0,2000", "--eye-mm"),
    ("plan camera --eye-mm 0,0,-5", "above the surface"),
    ("plan camera --height 2400", "--height"),
    ("plan camera --eye-mm 0,0,2000 --size-px 0,0", "--size-px"),
    ("plan camera --eye-mm 0,0,2000 --size-px 1e9,1e9", "--size-px"),
    ("plan charts --shifts x", "--shifts"),
    ("plan charts --shifts nan", "shift"),
    ("plan charts --growths -1", "growth"),
    ("plan nonsense", "plan"),
    ("report absent", "absent"),
    ("report afolder", "afolder"),
    ("report feeds.csv", "feeds.csv"),
    ("report bad-session", "bad-session"),
    ("report wrong-session", "verdict"),
    ("store list --db absent.db", "absent.db"),
    ("store list --db afolder", "afolder"),
    ("store list --db good.db --launcher nobody", "nobody"),
    ("store show 99 --db good.db", "99"),
    ("store show x --db good.db", "SESSION"),
    ("store show -1 --db good.db", "-1"),
    ("store add absent --db good.db", "absent"),
    ("store add unfiled-session --db good.db", "--launcher"),
    ("store add kept-session --db good.db", "good.db"),
    ("store add kept-session --db n.db --property x", "--property"),
    ("store add kept-session --db n.db --date 2026-13-40", "--date"),
    ("store add kept-session --db n.db --date 2199-01-01", "--date"),
    ("store add kept-session --db n.db --launcher =1+1", "--launcher"),
    ("store add kept-session --db absent/n.db", "absent/n.db"),
    ("store service --db good.db --launcher nobody", "nobody"),
    ("store service --db good.db --launcher bench-A --add nonsense", "--add"),
    ("store service --db good.db --launcher bench-A --add wheel-cleaned "
     "--unfilmed -4", "--unfilmed"),
    ("store service --db good.db --launcher bench-A --add wheel-cleaned "
     "--date 2199-01-01", "--date"),
    ("store service --db good.db --launcher bench-A --date 2026-01-01", "--add"),
    ("store export 1 --db good.db --out feeds.csv", "feeds.csv"),
    ("store backup --db good.db --out good.db", "good.db"),
    ("store backup --db good.db --out afolder", "afolder"),
    ("store", "store"),
    ("wear --db absent.db --launcher A", "absent.db"),
    ("wear --db good.db --launcher nobody", "nobody"),
    ("simulate --scene absent.toml --out o", "absent.toml"),
    ("simulate --weeks weeks.toml", "--db"),
    ("simulate --db n.db --out o", "--db"),
    ("simulate --out feeds.csv", "--out"),
    ("session absent.mp4 --out o", "absent.mp4"),
    ("session afolder --out o", "afolder"),
    ("session text.mp4 --out o", "text.mp4"),
    ("session empty.mp4 --out o", "empty.mp4"),
    ("session truncated.mp4 --out o", "truncated.mp4"),
    ("session no-table.mp4", "--out"),
    ("session no-table.mp4 --out o --bench absent.toml", "absent.toml"),
    ("session no-table.mp4 --out o --db n.db", "--db"),
    ("session no-table.mp4 --out o --spin much", "--spin"),
    ("session no-table.mp4 --out o --launcher-end up", "--launcher-end"),
    ("measure absent.mp4 --bench bench.toml", "absent.mp4"),
    ("measure no-table.mp4", "--bench"),
    ("measure no-table.mp4 --sightings sightings.csv --bench bench.toml",
     "--sightings"),
    ("measure --bench bench.toml", "--sightings"),
    ("measure no-table.mp4 --bench bench.toml --out no-table.mp4", "--out"),
    ("measure no-table.mp4 --bench bench.toml --out bench.toml", "--out"),
    ("calibrate no-table.mp4 --out no-table.mp4", "--out"),
    ("calibrate absent.mp4", "absent.mp4"),
    ("measure no-table.mp4 --bench bench.toml --slow 2 --rate 60", "--rate"),
    ("measure --sightings sightings.csv --bench bench.toml --rate 60", "--rate"),
    ("measure no-table.mp4 --bench bench.toml --microphone 1,2", "--microphone"),
    ("measure no-table.mp4 --bench bench.toml --microphone nan,0,0",
     "--microphone"),
    ("session no-table.mp4 --out o --pictures some", "--pictures"),
    ("session no-table.mp4 --out o --baseline absent.json", "absent.json"),
    ("session no-table.mp4 --out o --overrule absent.csv", "absent.csv"),
    ("session no-table.mp4 --out o --setting x --db n.db --launcher A "
     "--sample B", "--setting"),
    ("session photo.png --out o", "photo.png"),
    ("session no-table.mp4 --out o --temperature 900 --db n.db --launcher A "
     "--sample B", "--temperature"),
    ("calibrate no-table.mp4 --mark absent/m.html", "absent/m.html"),
    ("calibrate no-table.mp4 --mark no-table.mp4", "no-table.mp4"),
    ("clip absent.mp4 --feeds 1 --from whole --out o", "absent.mp4"),
    ("clip afolder --feeds 1 --from whole --out o", "afolder"),
    ("clip no-table.mp4 --feeds x --from whole --out o", "--feeds"),
    ("clip no-table.mp4 --feeds 0 --from whole --out o", "--feeds"),
    ("clip no-table.mp4 --feeds 1.5 --from whole --out o", "--feeds"),
    ("clip no-table.mp4 --feeds 99999999999 --from whole --out o", "--feeds"),
    ("clip no-table.mp4 --feeds 1 --from absent --out o", "absent"),
    ("clip no-table.mp4 --feeds 1 --from feeds.csv --out o", "feeds.csv"),
    ("clip no-table.mp4 --feeds 1 --from bad-session --out o", "bad-session"),
    ("clip no-table.mp4 --feeds 1 --from whole --out o", "whole"),
    ("clip no-table.mp4 --feeds 1 --from whole --out feeds.csv", "feeds.csv"),
    ("clip no-table.mp4 --feeds 1 --from whole --out o --slow 0", "--slow"),
    ("clip no-table.mp4 --from whole --out o", "--feeds"),
    ("clip no-table.mp4 --feeds 1 --from whole", "--out"),
    ("doctor --size 0x0", "--size"),
    ("doctor --size 1280", "--size"),
    ("doctor --size 999999999x999999999", "--size"),
    ("doctor --size -1280x720", "--size"),
    ("doctor --rate nan", "--rate"),
    ("doctor --rate 0", "--rate"),
    ("doctor --nonsense", "--nonsense"),
    ("doctor --cameras feeds.csv", "feeds.csv"),
    ("live --out o", "SOURCE"),
    ("live absent.mp4 --out o", "absent.mp4"),
    ("live feeds.csv --out o", "feeds.csv"),
    ("live afolder --out o", "afolder"),
    ("live ftp://nowhere.invalid/x --out o", "ftp://"),
    ("live --rehearse no-table.mp4", "--out"),
    ("live --rehearse absent.mp4 --out o", "absent.mp4"),
    ("live --rehearse text.mp4 --out o --no-page", "text.mp4"),
    ("live --rehearse photo.png --out o --no-page", "photo.png"),
    ("live --rehearse no-table.mp4 --out feeds.csv", "feeds.csv"),
    ("live --rehearse no-table.mp4 --out o --port 99999", "--port"),
    ("live --rehearse no-table.mp4 --out o --port -1", "--port"),
    ("live --rehearse no-table.mp4 --out o --listen here", "--listen"),
    ("live --rehearse no-table.mp4 --out o --listen 203.0.113.7",
     "203.0.113.7"),
    ("live --rehearse no-table.mp4 --out o --rate 60", "--rate"),
    ("live --rehearse no-table.mp4 --out o --date yesterday", "--date"),
    ("live --rehearse no-table.mp4 --out o --size 12", "--size"),
    ("calibrate no-table.mp4 --overlay seen.txt", "--overlay"),
    ("measure no-table.mp4 --bench bench.toml --out /proc/f.csv", "/proc/f.csv"),
    ("session no-table.mp4 --out o --date yesterday", "--date"),
    ("live --rehearse no-table.mp4 --out o --bench absent.toml", "absent.toml"),
    ("live --rehearse no-table.mp4 --out o --order absent.csv", "absent.csv"),
    ("live --rehearse no-table.mp4 --out o --order feeds.csv", "feeds.csv"),
    ("live --rehearse no-table.mp4 --out o --order order-twice.csv",
     "order-twice.csv"),
    ("live --rehearse no-table.mp4 --out o --order afolder", "afolder"),
    ("live --resume absent", "absent"),
    ("live --resume feeds.csv", "feeds.csv"),
    ("live --resume whole", "whole"),
    ("live --resume whole --out o", "--resume"),
    ("pair feeds.csv", "sample"),
    ("pair feeds.csv --out o --order absent.csv", "absent.csv"),
    ("report --db absent.db --out o", "absent.db"),
    ("report whole --pictures feeds.csv", "feeds.csv"),
    ("report whole --db good.db", "--db"),
    ("store rename --db good.db --launcher nobody --to A", "nobody"),
    ("store rename --db good.db --launcher bench-A --to =A", "--to"),
    ("store rename --db absent.db --launcher bench-A --to A", "absent.db"),
    ("store rename --db good.db --launcher bench-A", "--to"),
    ("store check --db feeds.csv", "feeds.csv"),
    ("store backup --db good.db --out absent/b.db", "absent/b.db"),
    ("plan trials --pilot absent.json", "absent.json"),
    ("plan order --samples K,M --trials 0", "--trials"),
    ("plan factors absent.csv", "absent.csv"),
    ("plan camera --height 2400 --distance 900 --lens wide", "--lens"),
    ("help nonsense", "nonsense"),
    ("nonsense", "nonsense"),
    ("--nonsense", "--nonsense"),
]


def all_cases():
    for command, file, ways in READERS:
        for name, spoil in ways:
            yield (f"{command} [{file}: {name}]", command.split(),
                   pathlib.Path(file).name if file.endswith((".mp4", ".db"))
                   else file, file, spoil)
    for command, option in OUTPUTS:
        for bad in ("afolder", f"absent/{LONG[:9]}", LONG, "feeds.csv/x"):
            words = command.replace("{}", bad)
            yield words[:120], words.split(), bad, None, None
    for command in FOLDERS:
        for bad in ("feeds.csv", LONG, "feeds.csv/x"):
            words = command.replace("{}", bad)
            yield words[:120], words.split(), bad, None, None
    for command, options in NUMBER_OPTIONS:
        for option in options:
            for bad in ("x", "nan", "inf", "-1e300", ""):
                yield (f"{command} {option} '{bad}'",
                       [*command.split(), f"{option}={bad}"],
                       option, None, None)
    for command, place in LINES:
        yield command, command.split(), place, None, None
