"""Bad input: each command and each option refuses it, or answers, in words that a maker can act on.

One table. Each row is run twice, for a reader and with --json. Never a traceback, never an apology for
what went wrong inside. A second test sweeps every parameter of every command, so that none is left out.
"""

import re
import shlex
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from woodmove.cli.build import all_commands
from woodmove.cli.execute import COMMON
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed
from woodmove.extend.params import FLAG, TEXT, WORDS

COMMANDS = all_commands(Catalogue(lambda: PluginManager(installed())))

EMC = "emc --temp 70F"
SHOW = "climate show burlington"
WIDTH = "width --species teak --width 30in --thickness 3in --mc-now 8 --mc-low 6 --mc-high 9"
STRIPS = f"{WIDTH} --pith-depth 1in --stock"
SLOTS = "slots --species teak --width 30in --thickness 1in --rings flat --mc-now 8 --mc-low 6 --mc-high 9"

JOB = """[wood]
species = "teak"
rings = "flat"
mc_now = 8

[top]
width = "30in"
thickness = "1in"

[room]
mc_low = 6
mc_high = 9
"""
FILES: dict[str, str | bytes] = {
    # Job files.
    "good.toml": JOB,
    "bom.toml": b"\xef\xbb\xbf" + JOB.encode(),
    "crlf.toml": JOB.replace("\n", "\r\n"),
    "empty.toml": "",
    "binary.toml": b"[job]\nname = \x00\x01\n",
    "latin.toml": '[job]\nname = "café"\n'.encode("latin-1"),
    "no-value.toml": "[job]\nname =\n",
    "no-bracket.toml": JOB + "[slots\n",
    "twice.toml": JOB + "mc_low = 5\n",
    "table-twice.toml": JOB + "\n[top]\n",
    "table.toml": JOB + "\n[roof]\npitch = 3\n",
    "key.toml": JOB + 'heat = "68F"\n',
    "outside.toml": 'species = "teak"\n' + JOB,
    "nested.toml": JOB + "place = { a = 1 }\n",
    "list-of-lists.toml": JOB + '[slots]\nat = [["2in"], ["15in"]]\n',
    "list.toml": JOB.replace('"30in"', '["30in", "31in"]'),
    "type.toml": JOB.replace("mc_now = 8", "mc_now = true"),
    "number.toml": JOB.replace('"teak"', "7"),
    "nan.toml": JOB.replace("mc_now = 8", "mc_now = nan"),
    "inf.toml": JOB.replace("mc_now = 8", "mc_now = -inf"),
    "bare.toml": JOB.replace('"30in"', "30"),
    "bare-list.toml": JOB + "[slots]\nat = [2, 15]\n",
    "bare-heat.toml": JOB + "heat_to = 68\n",
    "several.toml": JOB.replace("teak", "teek").replace("= 8", "= -3").replace('"30in"', "30") + "beds = 3\n",
    "no-text.toml": JOB.replace('"teak"', '""'),
    "swapped.toml": JOB.replace("mc_low = 6", "mc_low = 16"),
    "half.toml": JOB.replace("mc_low = 6\n", ""),
    "date.toml": JOB + '[job]\nbuild_date = "16 January"\n',
    "units.toml": JOB + '[job]\nunits = "furlong"\n',
    "section.toml": JOB + '[plan]\nsections = ["width", "roof"]\n',
    "no-section.toml": JOB + "[plan]\nsections = []\n",
    "rail.toml": JOB + '[base]\nwidth = "0mm"\n',
    "no-material.toml": JOB + '[base]\nthickness = "38mm"\n',
    "two-lines.toml": JOB + '[slots]\nfixed = "5in,25in"\n',
    "wet-steel.toml": JOB + '[base]\nmaterial = "steel"\nmc = 12\n',
    "thin-steel.toml": JOB + '[base]\nmaterial = "steel"\nthickness = "1mm"\n',
    "thin.toml": JOB.replace('"1in"', '"1/8in"'),
    "fight.toml": JOB.replace(
        "mc_low = 6\nmc_high = 9", 'place = "fargo"\nhumidify_to = 60\ndehumidify_to = 40'
    ),
    "shop.toml": JOB + "[shop]\nrh = 120\n",
    "no-place.toml": JOB.replace("mc_low = 6\nmc_high = 9", 'place = "missing.csv"'),
    "half-year.toml": JOB.replace("mc_low = 6\nmc_high = 9", 'place = "half-year.csv"'),
    "no-pile.toml": JOB + '[pile]\nboards = "missing.csv"\n',
    "bare-pile.toml": JOB + '[pile]\nboards = "bare-pile.csv"\n',
    "deep.toml": "[job]\nname = " + 3000 * "[" + 3000 * "]" + "\n",
    "digits.toml": JOB.replace("mc_now = 8", "mc_now = " + 5000 * "9"),
    # What job files name.
    "half-year.csv": "time,temp_c,rh\n"
    + "".join(f"2026-{month:02}-{day:02} 12:00,20,45\n" for month in range(1, 7) for day in range(1, 29)),
    "bare-pile.csv": "board,nominal,crook\nA,2x8,3\nB,2x8,1/4\n",
    # Tables of readings.
    "good.csv": "time,temp_f,rh\nMonday,70,50\n",
    "bom.csv": b"\xef\xbb\xbftemp_c,rh\n20,50\n",
    "empty.csv": "",
    "headings.csv": "temp_c,rh\n",
    "no-temp.csv": "time,rh\nMonday,50\n",
    "no-rh.csv": "time,temp_c\nMonday,20\n",
    "two-temps.csv": "temp_c,temp_f,rh\n20,68,50\n",
    "rows.csv": "temp_c,rh\n20,50\nwarm,50\n20,\n21,140\n-99,50\n20,-1\nnan,inf\n",
    "long-row.csv": "temp_c,rh\n20,50\n20,50,60\n",
    "quote.csv": 'temp_c,rh,"note\n20,50,1\n',
    "many.csv": "temp_c,rh\n" + "x,50\n" * 50,
    "latin.csv": "temp_c,rh,Größe\n20,50,1\n".encode("latin-1"),
    "binary.csv": b"\x00\x01\x02",
}


@dataclass(frozen=True)
class Row:
    """A command line, its exit code, and words that its message must hold.

    A word like ``job.toml:3`` is a file and a line: before the message for a reader, and as fields of an
    error in JSON.
    """

    line: str
    code: int
    words: tuple[str, ...]
    stdin: str = ""
    lines: tuple[str, ...] = field(default=())


def row(line: str, code: int, *words: str, stdin: str = ""):
    lines = tuple(word for word in words if re.fullmatch(r"[\w. -]+:\d+", word))
    made = Row(line, code, tuple(word for word in words if word not in lines), stdin, lines)
    return pytest.param(made, id=line[-60:])


INSIDE = "falls through to the last resort, which blames woodmove itself"

ROWS = [
    # What is no command.
    row("moist", 2, "No such command 'moist'", "woodmove -h"),
    row("''", 2, "No such command"),
    row("readings", 2, "Missing command", "woodmove readings -h"),
    row("list paint", 2, "no table 'paint'", "species, places", "woodmove list species"),
    row("--nonsense", 2, "No such option: --nonsense"),
    row("emc --nonsense", 2, "No such option: --nonsense", "woodmove emc -h"),
    row("emc --tmp 3", 2, "No such option: --tmp", "--temp"),
    row("emc --temp", 2, "--temp", "requires an argument"),
    row("emc good.csv good.csv", 2, "unexpected extra argument"),
    row("emc --grid=yes", 2, "--grid", "does not take a value"),
    row("plan --demo --csv", 2, "No such option: --csv"),
    # What every command takes.
    row(f"{EMC} --rh 50 --units cubits", 2, "--units cannot be cubits", "in, mm"),
    row(f"{EMC} --rh 50 --csv", 2, "no rows to print as CSV"),
    row("list places --csv --json", 2, "--json and --csv are both given"),
    row(f"{EMC} --rh 3 --strict", 3, "EMC equation", "5 to 95 % RH", "Leave out --strict"),
    # emc: the humidity.
    row("emc", 2, "--temp is missing", "--temp 70F"),
    row("emc --rh 50", 2, "--temp is missing"),
    row(EMC, 2, "--rh", "Nothing says how humid the air is", "exactly one of RH, dew point and wet bulb"),
    row(f"{EMC} --rh 120", 1, "--rh cannot be 120", "from 0 % to 100 %", "Type --rh 50"),
    row(f"{EMC} --rh -1", 1, "--rh cannot be -1", "from 0 % to 100 %"),
    row(f"{EMC} --rh NaN", 2, "--rh", "'NaN' is not a number"),
    row(f"{EMC} --rh inf", 2, "'inf' is not a number"),
    row(f"{EMC} --rh ''", 2, "--rh", "'' is not a number"),
    row(f"{EMC} --rh half", 2, "'half' is not a number"),
    row(f"{EMC} --rh 0,5", 2, "'0,5' is not a number"),
    row(f"{EMC} --rh {'9' * 400}", 1, "--rh cannot be 9999"),
    row(f"{EMC} --rh 50 --dew-point 8C", 2, "The humidity is given more than once", "--rh, --dew-point"),
    row(f"{EMC} --dew-point 8C --wet-bulb 12C", 2, "The humidity is given more than once"),
    row("emc --temp 20C --dew-point 25C", 1, "--dew-point", "the dew point lies above the temperature"),
    row("emc --temp 20C --wet-bulb 25C", 1, "--wet-bulb", "the wet bulb lies above the dry bulb"),
    row("emc --temp 40C --wet-bulb 5C", 1, "lower than even bone-dry air could make it"),
    row("emc --temp 20C --wet-bulb wet", 2, "--wet-bulb", "'wet' is not a temperature"),
    row("emc --temp 20C --dew-point 500F", 1, "--dew-point cannot be 500F"),
    row("emc --temp warm --rh 50", 2, "--temp", "'warm' is not a temperature", "Type --temp 70F"),
    row("emc --temp '' --rh 50", 2, "'' is not a temperature"),
    row("emc --temp 70K --rh 50", 2, "'70K' is not a temperature"),
    row("emc --temp nan --rh 50", 2, "'nan' is not a temperature"),
    row("emc --temp 500 --rh 50", 1, "--temp cannot be 500", "from -60 °C (-76 °F) to 150 °C (302 °F)"),
    # emc: a moisture content, or two questions at once.
    row(f"{EMC} --mc -3", 1, "--mc cannot be -3", "from 0 % to 200 %"),
    row(f"{EMC} --mc 60", 1, "No humidity holds wood at 60 %", "at most 29"),
    row(f"{EMC} --mc wet", 2, "--mc", "'wet' is not a number"),
    row(f"{EMC} --mc 8 --rh 50", 2, "More than one thing is asked at once"),
    row(f"{EMC} --rh 50 --grid", 2, "More than one thing is asked at once"),
    row("emc good.csv --grid", 2, "More than one thing is asked at once"),
    # emc: tables of readings.
    row("emc bom.csv", 0, "9.3"),
    row("emc missing.csv", 1, "There is no file missing.csv"),
    row("emc .", 1, "is a directory", "path of a CSV file"),
    row("emc ''", 2, "FILE", "there is nothing in it"),
    row("emc empty.csv", 1, "empty.csv:1", "is not a table"),
    row("emc headings.csv", 1, "headings.csv:1", "has no rows"),
    row("emc no-temp.csv", 1, "no-temp.csv:1", "no temperature column", "time, rh"),
    row("emc no-rh.csv", 1, "no-rh.csv:1", "no relative humidity column", "Rename the headings"),
    row("emc two-temps.csv", 1, "more than one temperature column"),
    row("emc rows.csv", 1, "rows.csv:3", "'warm' is not a number", "rows.csv:4", "'' is not a number",
        "rows.csv:5", "0 to 100 %, not 140", "rows.csv:6", "-60 to 150 °C, not -99", "rows.csv:7", "not -1",
        "rows.csv:8", "'nan' is not a number", "'inf' is not a number"),
    row("emc long-row.csv", 1, "long-row.csv:3", "same number of columns"),
    row("emc quote.csv", 1, "quote.csv:1", "is not a table"),
    row("emc many.csv", 1, "many.csv:21", "30 more faults like these"),
    row("emc latin.csv", 1, "latin.csv:1", "is not UTF-8 text"),
    row("emc binary.csv", 1, "is not a text file"),
    row("emc -", 1, "standard input is not a table"),
    row("emc -", 1, "standard input:2", "not 140", stdin="temp_c,rh\n20,140\n"),
    # climate
    row("climate show", 2, "KEY is missing"),
    row("climate show ''", 2, "KEY", "there is nothing in it"),
    row("climate show atlantis", 1, "There is no place 'atlantis'", "atlanta", "woodmove list places"),
    row("climate show portland", 1, "portland-me", "portland-or"),
    row(f"{SHOW} --room cellar", 2, "--room: kind cannot be cellar", "open, heated, conditioned"),
    row(f"{SHOW} --room 'heat_to=hot'", 2, "heat_to", "'hot' is not a temperature"),
    row(f"{SHOW} --room 'heat_to=200F'", 2, "heat_to cannot be 200F",
        "from -20 °C (-4 °F) to 45 °C (113 °F)"),
    row(f"{SHOW} --room 'moisture_gain=9'", 2, "moisture_gain cannot be 9", "from 1 to 4"),
    row(f"{SHOW} --room 'moisture_gain=1.5'", 2, "'1.5' is not a whole number"),
    row(f"{SHOW} --room 'humidify_to=0'", 2, "humidify_to cannot be 0", "from 1 % to 100 %"),
    row(f"{SHOW} --room 'humidify_to=damp'", 2, "humidify_to", "'damp' is not a number"),
    row(f"{SHOW} --room 'dehumidify_to=150'", 2, "dehumidify_to cannot be 150"),
    row(f"{SHOW} --room 'humidify_to=60 dehumidify_to=40'", 1, "The humidifier would run up to 60 %",
        "at or below", "humidify_to=35 dehumidify_to=55"),
    row(f"{SHOW} --room 'conditioned humidify_to=65'", 1, "dehumidifier down to 60 %"),
    row("list places --place fargo", 2, "No such option: --place"),
    # species
    row("list species teak", 2, "unexpected extra argument"),
    row("show species", 2, "KEY is missing"),
    row("show species teek", 1, "There is no species 'teek'", "teak", "woodmove list species"),
    row("show species oak", 1, "There is no species 'oak'", "red-oak"),
    row("show species xyzzy", 1, "There is no species 'xyzzy'", "No known species comes close"),
    row("show species teak balsa", 2, "unexpected extra argument"),
    # width: the wood
    row("width", 2, "--species is missing", "--width is missing", "--mc-now is missing"),
    row(f"{WIDTH} --rings flat --species teek", 1, "There is no species 'teek'"),
    row(f"{WIDTH} --rings flat --finish ''", 2, "--finish", "there is nothing in it"),
    row(WIDTH, 2, "--rings", "Nothing says how the rings lie", "--stock 2x8 --pith-depth 1-1/2in"),
    row(f"{WIDTH} --rings 200", 2, "--rings", "rings lie at 0 to 90 degrees", "not 200"),
    row(f"{WIDTH} --rings -5", 2, "rings lie at 0 to 90 degrees"),
    row(f"{WIDTH} --rings round", 2, "'round' is neither flat, quarter, on-edge nor an angle"),
    row(f"{WIDTH} --rings flat --stock 2x8 --pith-depth 1in", 2, "The rings are given twice"),
    row(f"{WIDTH} --stock 2x8", 2, "not how deep its pith lies", "--pith-depth 1-1/2in"),
    row(f"{WIDTH} --pith-depth 1in", 2, "but not the board", "--stock 2x8"),
    row(f"{STRIPS} nonsense", 2, "'nonsense' is not a nominal lumber size", "2x8"),
    row(f"{STRIPS} 2x7", 2, "'2x7' is not a nominal lumber size"),
    row(f"{STRIPS} 38mm", 2, "'38mm' is not a thickness and a width"),
    row(f"{STRIPS} 0mmx184mm", 2, "between 1 mm and 1 m"),
    row(f"{STRIPS} 1/0inx8in", 2, "divides by zero"),
    row(f"{STRIPS} 2x8 --pith-depth deep", 2, "--pith-depth", "'deep' is not a length"),
    row(f"{STRIPS} 2x8 --pith-depth 9ft", 1, "--pith-depth cannot be 9ft"),
    row(f"{STRIPS} 2x8 --pith-depth -2in", 1, "The pith lies beyond the far face of the board"),
    row(f"{STRIPS} 2x8 --thickness 8in", 1, "A 2x8 is narrower than the strips", "thinner top"),
    # width: sizes
    row(f"{WIDTH} --rings flat --width 0in", 1, "--width cannot be 0in", "3/64 in (1 mm)"),
    row(f"{WIDTH} --rings flat --width -3in", 1, "--width cannot be -3in"),
    row(f"{WIDTH} --rings flat --width 1/0in", 2, "--width", "divides by zero", "Type --width 30in"),
    row(f"{WIDTH} --rings flat --width thirty", 2, "'thirty' is not a length"),
    row(f"{WIDTH} --rings flat --width ''", 2, "'' is not a length"),
    row(f"{WIDTH} --rings flat --width nan", 2, "'nan' is not a length"),
    row(f"{WIDTH} --rings flat --width 5mi", 2, "'mi' is not a unit of length"),
    row(f"{WIDTH} --rings flat --width '3in 2ft'", 2, "'3in 2ft' is not a length"),
    row(f"{WIDTH} --rings flat --width 99999999in", 1, "--width cannot be 99999999in", "5000 mm"),
    row(f"{WIDTH} --rings flat --width {'9' * 400}mm", 2, "--width"),
    row(f"{WIDTH} --rings flat --thickness 0", 1, "--thickness cannot be 0"),
    row(f"{WIDTH} --rings flat --thickness 40in", 1, "--thickness cannot be 40in", "500 mm"),
    # width: moisture and season
    row(f"{WIDTH} --rings flat --mc-now -3", 1, "--mc-now cannot be -3"),
    row(f"{WIDTH} --rings flat --mc-now 300", 1, "--mc-now cannot be 300", "200 %"),
    row(f"{WIDTH} --rings flat --mc-now wet", 2, "'wet' is not a number"),
    row(f"{WIDTH} --rings flat --mc-low x", 2, "--mc-low", "'x' is not a number"),
    row(f"{WIDTH} --rings flat --mc-high 201", 1, "--mc-high cannot be 201"),
    row(f"{WIDTH} --rings flat --mc-low 9 --mc-high 6", 1, "--mc-low, --mc-high",
        "The dry extreme (9 %) is wetter than the wet one (6 %)", "Swap them"),
    row("width --species teak --width 30in --rings flat --mc-now 8", 2, "--mc-low, --mc-high, --place",
        "Nothing says how dry and how damp"),
    row("width --species teak --width 30in --rings flat --mc-now 8 --mc-low 6", 2, "--mc-high",
        "Only one of the two moisture extremes is given"),
    row("width --species teak --width 30in --rings flat --mc-now 8 --mc-high 9", 2, "--mc-low",
        "Only one of the two moisture extremes is given"),
    row("width --species teak --width 30in --rings flat --mc-now 8 --place atlantis", 1, "'atlantis'"),
    row(f"{WIDTH} --rings flat --mc-now 40 --strict", 3, "above fibre saturation"),
    row("width --width wide --rings 200 --mc-now -3 --mc-high x", 2, "--species is missing",
        "'wide' is not a length", "not 200", "--mc-now cannot be -3", "'x' is not a number"),
    # width: what is known of the wood, and how it stands in its room
    row(f"{WIDTH} --rings flat --mc-readings some", 2, "--mc-readings", "'some' is not a whole number"),
    row(f"{WIDTH} --rings flat --finish wallpaper", 1, "There is no finish 'wallpaper'"),
    row(f"{WIDTH} --rings flat --finish 'none faces=edges'", 2, "--finish: faces cannot be edges", "both"),
    row(f"{WIDTH} --rings flat --finish underside=wet", 2, "underside cannot be wet", "open, closed"),
    row(f"{WIDTH} --rings flat --finish 'covered sides=none'", 2, "'sides=none' is none of finish="),
    row(f"{WIDTH} --rings flat --build-date soon", 2, "--build-date", "'soon' is not a date"),
    row(f"{WIDTH} --rings flat --build-date 2027-02-30", 2, "'2027-02-30' is not a date"),
    # slots
    row("slots", 2, "--species is missing", "--width is missing", "--thickness is missing"),
    row(f"{SLOTS} --width flat", 2, "--width", "'flat' is not a length"),
    row(f"{SLOTS} --thickness 0in", 1, "--thickness cannot be 0in"),
    row(f"{SLOTS} --thickness 1/8in", 1, "easy to find", "Counterbore the rail"),
    row(f"{SLOTS} --fixed middle", 2, "--fixed", "'middle' is not a length", "center"),
    row(f"{SLOTS} --fixed 40in", 1, "--fixed", "lies beyond the back edge"),
    row(f"{SLOTS} --fixed -4in", 1, "--fixed cannot be -4in"),
    row(f"{SLOTS} --at here", 2, "--at", "'here' is not a length"),
    row(f"{SLOTS} --at ''", 2, "--at", "'' is not a length"),
    row(f"{SLOTS} --at 2in,,28in", 2, "--at", "'' is not a length"),
    row(f"{SLOTS} --at 0in,28in", 1, "A screw at 0 in (0 mm) is not under the top"),
    row(f"{SLOTS} --at 2in,31in", 1, "31 in (787.4 mm) is not under the top"),
    row(f"{SLOTS} --at 2in,2.1in", 1, "comes too near the one before it", "farther apart"),
    row(f"{SLOTS} --at 0.05in", 1, "runs off the end of the rail"),
    row(f"{SLOTS} --base direction=diagonal", 2, "--base: direction cannot be diagonal", "across, along"),
    row(f"{SLOTS} --base width=0mm", 2, "--base: width cannot be 0mm", "3/64 in (1 mm)"),
    row(f"{SLOTS} --base 'wood width=3/4in'", 1, "--base: A slot", "too little wood beside it", "wider rail"),
    row(f"{SLOTS} --base 'wood thickness=3mm'", 1, "Only 1/8 in (3 mm) of wood is left"),
    row(f"{SLOTS} --base 'wood counterbore=2in'", 1, "--base", "shallower counterbore"),
    row(f"{SLOTS} --base counterbore=deep", 2, "--base: counterbore", "'deep' is not a length"),
    row(f"{SLOTS} --base thickness=38mm", 2, "what the base is made of", "--base wood"),
    row(f"{SLOTS} --base glass", 1, "There is no species 'glass'", "Or say wood, plywood, steel, aluminium"),
    row(f"{SLOTS} --base 'steel thickness=1mm'", 1, "of steel carries a screw"),
    row(f"{SLOTS} --base 'steel mc=12'", 2, "--base", "Rails of steel have no moisture content"),
    row(f"{SLOTS} --base 'wood with=3in'", 2, "'with=3in' is none of material=, mc=, width="),
    row(f"{SLOTS} --base 'wood width=3in 2'", 2, "--base", "'2' is none of material="),
    row(f"{SLOTS} --base 'wood mc=12 mc=13'", 2, "--base: mc is said twice"),
    row(f"{SLOTS} --base 'wood, steel'", 2, "tells several, and there is one base"),
    row(f"{SLOTS} --hardware grove=1/2in", 2, "'grove=1/2in' is none of groove=", "swivel=5/8in"),
    row(f"{SLOTS} --hardware swivel=1mm", 2, "--hardware: swivel cannot be 1mm"),
    row(f"{SLOTS} --fixed 5in,25in", 2, "--fixed", "one fixed line"),
    row(f"{SLOTS} --screw '#99'", 1, "There is no screw '#99'", "no-9"),
    row(f"{SLOTS} --screw ''", 2, "--screw", "there is nothing in it"),
    row(f"{SLOTS} --screw '#10 flat'", 1, "--screw", "does not slide", "round or pan head"),
    row(f"{SLOTS} --screw '#10 x 2-1/2ells'", 2, "--screw: length: '2-1/2ells' is not a length"),
    row(f"{SLOTS} --screw '#10 x 2in x 3in'", 2, "--screw: '#10 x 2in x 3in' is more than SCREW x LENGTH"),
    row(f"{SLOTS} --screw 'no-10 2in'", 2, "lacks the x between: write no-10 x 2in"),
    row(f"{SLOTS} --screw '#10 x 1in'", 1, "--screw", "does not reach the top"),
    row(f"{SLOTS} --screw '#10 x 3in'", 1, "comes through the show face", "at most 2-5/16 in"),
    row(f"{SLOTS} --washer dinner-plate", 1, "There is no washer 'dinner-plate'"),
    row(f"{SLOTS} --screw '#10' --washer no-4-sae", 1, "--washer", "too small for the screw"),
    row(f"{SLOTS} --screw '#6' --washer no-5-narrow", 1, "--washer", "does not cover a slot"),
    # plan and check
    row("plan", 2, "No job file is named", "woodmove plan --demo"),
    row("plan good.toml --demo", 2, "Both a job file and the demo are asked for"),
    row("plan missing.toml", 1, "There is no file missing.toml", "path of a job file"),
    row("plan .", 1, "is a directory"),
    row("plan ''", 2, "JOB", "there is nothing in it"),
    row(f"{SHOW} --room open --strict", 3, "-1.2", "Leave out --strict"),
    row("check", 2, "JOB is missing"),
    row("check .", 1, "is a directory"),
    row("check missing.toml", 1, "There is no file missing.toml"),
    row("check bom.toml", 0, "no fault"),
    row("check crlf.toml", 0, "no fault"),
    row("plan bom.toml --draws 128", 0, "screw"),
    row("plan empty.toml", 1, "empty.toml:1", "holds nothing", "woodmove new"),
    row("check binary.toml", 1, "is not a text file"),
    row("check latin.toml", 1, "latin.toml:2", "is not UTF-8 text"),
    row("check no-value.toml", 1, "no-value.toml:2", "is not a job file"),
    row("plan no-value.toml", 1, "no-value.toml:2", "is not a job file"),
    row("check no-bracket.toml", 1, "no-bracket.toml:13", "is not a job file"),
    row("check twice.toml", 1, "twice.toml:13", "each key once"),
    row("check table-twice.toml", 1, "table-twice.toml:14", "is not a job file"),
    row("check table.toml", 1, "table.toml:15", "There is no roof.pitch."),
    row("check key.toml", 1, "key.toml:13", "There is no room.heat.", "Did you mean room.heat_to"),
    row("check outside.toml", 1, "outside.toml:1", "species stands outside a table"),
    row("check nested.toml", 1, "nested.toml:13", "room.place is a table or a list of lists"),
    row("check list-of-lists.toml", 1, "list-of-lists.toml:14", "slots.at is a table or a list of lists"),
    row("check list.toml", 1, "list.toml:7", "'30in,31in' is not a length"),
    row("check type.toml", 1, "type.toml:4", "wood.mc_now: 'true' is not a number"),
    row("check number.toml", 1, "number.toml:2", "There is no species '7'"),
    row("check nan.toml", 1, "nan.toml:4", "'nan' is not a number"),
    row("check inf.toml", 1, "inf.toml:4", "'-inf' is not a number"),
    row("check bare.toml", 1, "bare.toml:7", "top.width: '30' has no unit: write 30in or 30mm",
        'width = "30in"'),
    row("check bare-list.toml", 1, "bare-list.toml:14", "slots.at: '2' has no unit", 'at = "2in,15in,28in"'),
    row("check bare-heat.toml", 1, "bare-heat.toml:13", "room.heat_to: '68' has no unit: write 68F or 68C",
        'heat_to = "68F"'),
    row("check several.toml", 1, "several.toml:2", "no species 'teek'", "several.toml:4", "cannot be -3",
        "several.toml:7", "has no unit", "several.toml:13", "room.beds"),
    row("plan several.toml", 1, "several.toml:2", "several.toml:4", "several.toml:7", "several.toml:13"),
    row("check no-text.toml", 1, "no-text.toml:2", "there is nothing in it"),
    row("check swapped.toml", 1, "swapped.toml:11",
        "The dry extreme (16 %) is wetter than the wet one (9 %)"),
    row("check half.toml", 1, "half.toml:11", "Only one of the two moisture extremes is given"),
    row("check date.toml", 1, "date.toml:14", "'16 January' is not a date such as 2027-01-15"),
    row("check no-place.toml", 1, "no-place.toml:11", "There is no file missing.csv"),
    row("plan no-place.toml", 1, "no-place.toml:11", "There is no file missing.csv"),
    row("check half-year.toml", 1, "half-year.toml:11", "half-year.csv is no whole year",
        "woodmove climate add NAME half-year.csv"),
    row("plan half-year.toml", 1, "half-year.toml:11", "half-year.csv is no whole year"),
    row("check no-pile.toml", 1, "no-pile.toml:14", "There is no file missing.csv"),
    row("check bare-pile.toml", 1, "bare-pile.csv:2", "'3' has no unit: write 3in or 3mm", "bare-pile.csv:3"),
    row("check units.toml", 1, "units.toml:14", "job.units cannot be furlong"),
    row("check section.toml", 1, "section.toml:14", "no plan section 'roof'", "width"),
    row("check no-section.toml", 1, "no-section.toml:14", "there is nothing in it"),
    row("check rail.toml", 1, "rail.toml:14", "base.width cannot be 0mm"),
    row("check no-material.toml", 1, "what the base is made of"),
    row("check two-lines.toml", 1, "two-lines.toml:14", "one fixed line"),
    row("check wet-steel.toml", 1, "Rails of steel have no moisture content"),
    row("check thin-steel.toml", 1, "of steel carries a screw"),
    row("check thin.toml", 1, "thin.toml:8", "No length of this screw that is easy to find"),
    row("check fight.toml", 1, "The humidifier would run up to 60 %"),
    row("check shop.toml", 1, "shop.toml:14", "shop.rh cannot be 120"),
    row("check deep.toml", 1, "deep.toml", "is not a job file"),
    row("check digits.toml", 1, "digits.toml"),
    # new
    row("new", 2, "JOB is missing"),
    row("new ''", 2, "JOB", "there is nothing in it"),
    row("new good.toml --defaults", 1, "good.toml is already there", "another name"),
    row("new nowhere/job.toml --defaults", 1, "cannot be written", "folder that you may write to"),
    row("new . --defaults", 1, "cannot be written|is a directory"),
    # plugins
    row("show plugins", 2, "NAME is missing"),
    row("show plugins nobody", 1, "There is no plugin 'nobody'", "woodmove_species", "woodmove list plugins"),
    row("list plugins --units furlong", 2, "--units cannot be furlong"),
    row("plugins check woodmove_species", 2, "unexpected extra argument"),
    row("list doubts --input meter", 2, "No such option: --input"),
    row("plugins mend", 2, "No such command 'mend'"),
    row("--no-plugins show species teak", 4, "No plugin provides any species", "woodmove list plugins"),
    row("--no-plugins climate show fargo", 4, "No plugin provides any place"),
    row("--no-plugins plan --demo", 4, "No plugin provides any species"),
    row("--no-plugins slots", 2, "No such command 'slots'"),
]  # fmt: skip


def test_the_table_is_long_enough():
    assert len(ROWS) >= 60
    assert len({(param.values[0].line, param.values[0].stdin) for param in ROWS}) == len(ROWS)


@pytest.fixture
def files(cli) -> None:
    """The bad files, in the folder of the command line."""
    for name, content in FILES.items():
        Path(name).write_bytes(content if isinstance(content, bytes) else content.encode())


def holds(text: str, word: str) -> bool:
    """True if a text holds a word, or one of several with | between."""
    return any(one in text for one in word.split("|"))


def with_json(line: str) -> list[str]:
    """A command line with --json right after its command, where nothing can take it for a value."""
    typed = shlex.split(line)
    command = next((n for n, word in enumerate(typed) if not word.startswith("-")), 0)
    options = (n for n, word in enumerate(typed) if n > command and word.startswith("-"))
    at = next(options, len(typed))
    return typed if "--json" in typed else [*typed[:at], "--json", *typed[at:]]


@pytest.mark.parametrize("row", ROWS)
@pytest.mark.usefixtures("files")
def test_bad_input(cli, row):
    done = cli(row.line, stdin=row.stdin)
    said = done.out if row.code == 0 else done.err
    assert "Something went wrong inside woodmove" not in said
    assert "Traceback" not in done.out + done.err
    assert done.code == row.code, said
    missing = [word for word in row.words if not holds(" ".join(said.split()), word)]
    assert not missing, said
    assert [line for line in row.lines if f"woodmove: {line}: " not in said] == []
    if row.code == 0:
        assert done.err == ""
        assert "error" not in cli(row.line, "--json", stdin=row.stdin).json
        return
    assert done.out == "" or "--json" in row.line
    assert done.err.startswith("woodmove: ")

    found = cli(with_json(row.line), stdin=row.stdin)
    errors = found.json["errors"]  # exactly one document, or this fails
    assert found.json["error"] == errors[0]
    assert set(found.json) == {"format", "error", "errors"}
    assert (found.json["format"], found.err.count("\n")) == (2, 1)
    for error in errors:
        assert set(error) == {"code", "text", "hint", "file", "line"}
        assert re.fullmatch(r"[A-Z][A-Z0-9_]+", error["code"])
        assert error["text"]
        assert isinstance(error["hint"], str)
    assert found.code == row.code
    if "--csv" in row.line or row.line == "readings":
        return  # with --json it is another fault
    text = " ".join(f"{error['text']} {error['hint']}" for error in errors)
    assert not [word for word in row.words if not holds(text, word)], text
    places = {f"{error['file']}:{error['line']}" for error in errors}
    assert set(row.lines) <= places


# Every parameter of every command, those of commands that are yet to come too.

by_command = pytest.mark.parametrize("spec", COMMANDS, ids=lambda spec: spec.name)
BOUNDED = [
    (spec, side)
    for spec in COMMANDS
    for side in ("low", "high")
    if any(getattr(param, side) is not None and not param.is_argument for param in spec.params)
]


def typed(spec: CommandSpec, values: dict[str, str]) -> list[str]:
    """A command line with these values, by name of the parameter."""
    params = {param.name: param for param in (*spec.params, *COMMON)}
    line = spec.name.split()
    for name, value in values.items():
        line += [value] if params[name].is_argument else [params[name].option, value]
    return line


def named(param: Param) -> bool:
    """Whether it, or the first word of its text, is a name of a registry."""
    return bool(param.registry or (param.kind.parts and param.kind.parts[0][1].registry))


def nonsense(param: Param) -> str:
    """A value that a parameter cannot take."""
    if param.choices or named(param):
        return f"no-such-{param.name}"
    return "" if param.kind in (TEXT, WORDS) else "@@"


@by_command
def test_no_parameter_swallows_nonsense(cli, spec):
    """All at once: no fault hides behind another."""
    params = [param for param in (*spec.params, *COMMON) if param.kind is not FLAG and param.option]
    done = cli(typed(spec, {param.name: nonsense(param) for param in params}))
    assert "Something went wrong inside woodmove" not in done.err
    assert (done.code, done.out) == (2, "")
    for param in params:
        said = f"'no-such-{param.name}'" if named(param) else f"woodmove: {param.option}"
        assert said in done.err


@pytest.mark.parametrize(("spec", "side"), BOUNDED, ids=lambda value: getattr(value, "name", value))
def test_no_parameter_goes_beyond_its_bounds(cli, spec, side):
    values = {}
    for param in (*(param for param in spec.params if param.option), *COMMON):
        bound, step = (param.low, -1) if side == "low" else (param.high, 1)
        if bound is not None:
            value = f"{bound + step:.0f}" + {"in": "mm", "°C": "C"}.get(param.kind.bare_unit, "")
            if param.is_argument and value.startswith("-"):
                continue  # a shell would take it for an option
            values[param.name] = value
    done = cli(typed(spec, values))
    assert "Something went wrong inside woodmove" not in done.err
    assert (done.code in (1, 2), done.out) == (True, "")
    for name, value in values.items():
        option = next(param.option for param in (*spec.params, *COMMON) if param.name == name)
        # No scale shows less than nothing: such a weight is not even read.
        told = (f"woodmove: {option} cannot be {value}.", f"{value!r} is not a weight")
        assert any(words in done.err for words in told)


@by_command
def test_a_switch_takes_no_value(cli, spec):
    for param in (*spec.params, *COMMON):
        if param.kind is FLAG:
            done = cli([*spec.name.split(), f"{param.option}=3"])
            assert (done.code, done.out) == (2, "")
            assert param.option in done.err


def test_a_file_of_fifty_megabytes_is_not_read(cli):
    with Path("huge.toml").open("wb") as file:
        file.truncate(50_000_000)
    for command in ("plan", "check"):
        done = cli(f"{command} huge.toml")
        assert (done.code, done.out) == (1, "")
        assert "huge.toml holds 50 MB" in done.err
    assert "holds 50 MB" in cli("emc huge.toml").err


def test_ten_thousand_strips_and_screws(cli):
    """A top of strips as thin as veneer is computed; a row of ten thousand screws is refused."""
    veneer = (
        "width --species teak --width 5000mm --thickness 3in --mc-now 8 --mc-low 6 --mc-high 9 "
        "--stock '1mm x 300mm' --pith-depth 1in"
    )
    assert cli(veneer).code == 0
    at = ",".join(f"{0.002 * i + 1:.3f}in" for i in range(10_000))
    done = cli(f"{SLOTS} --at {at}")
    assert done.code == 1
    assert "10000 screws" in done.err


def test_commas_of_a_list_that_reads_stay(cli):
    done = cli("slots --species teak --width 30in --mc-low 6 --mc-high 9 --rings flat --at 2,9999")
    assert "2.9999" not in done.err
    assert "Type --at 2in," in done.err


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("--strip-thickness 1,5in", "--strip-thickness 1.5in"),
        ("--service-width 800,5mm", "--service-width 800.5mm"),
    ],
)
def test_a_decimal_comma_is_mended(cli, typed, meant):
    line = {
        "--strip-thickness": "strips --service-width 30in",
        "--service-width": "strips --strip-thickness 38mm",
    }
    done = cli(f"{line[typed.split()[0]]} {typed}")
    assert done.code == 2
    assert f"Type {meant}, for example." in done.err
