"""Places of the user's own: one TOML file each, in the folder for data that the XDG base directory
specification names; and the places that weather files and loggers hold."""

import contextlib
import os
import re
import tomllib
from collections.abc import Callable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from woodmove.contract.notes import Note
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import ENOUGH_DAYS, AirSeries, MonthlyAir
from woodmove.domain.climate import Climate
from woodmove.domain.species import Known
from woodmove.files.texts import read_text
from woodmove.sources import Status

WHAT = "place"
_SUFFIXES = (".epw", ".csv", ".tm2", ".txt", ".tsv")
_WORDS = ("name", "region", "country", "station", "source", "status", "period", "note")


def places_folder() -> Path:
    """Where the user's own places lie."""
    named = os.environ.get("XDG_DATA_HOME", "")
    home = Path(named) if os.path.isabs(named) else Path.home() / ".local" / "share"
    return home / "woodmove" / "places"


def own_places(say: Callable[[str], None]) -> Iterator[Climate]:
    """The user's own places, in the order of their keys.

    :param say: how a file that cannot be read is told of
    """
    for path in sorted(places_folder().glob("*.toml")):
        try:
            yield read_place(str(path))
        except Refusal as fault:
            say(f"your own place {path.stem} was left out: {fault.wrong}")


def read_place(path: str) -> Climate:
    """The place of a TOML file; the name of the file is its key.

    :raises Refusal: not a place, with what is wrong
    """
    text = read_text(path, WHAT)
    try:
        data = tomllib.loads(text)
        return _climate(Path(path).stem, data)
    except (tomllib.TOMLDecodeError, ValueError, TypeError, KeyError) as problem:
        reason = f"{problem} is missing" if isinstance(problem, KeyError) else str(problem)
        raise Refusal(
            "BAD_PLACE",
            f"{path}: {reason}.",
            "A place has a name, and twelve months of temp_c and rh_pct.",
            "Mend the file, or make it anew with woodmove climate add NAME FILE --force.",
            file=path,
        ) from None


def _climate(key: str, data: dict[str, Any]) -> Climate:
    words = {name: data.get(name, "") for name in _WORDS}
    if not all(isinstance(word, str) for word in words.values()):
        raise ValueError(f"{', '.join(_WORDS)} are texts in quotation marks")
    for name in ("temp_c", "rh_pct"):
        if not isinstance(data[name], list) or not all(type(value) in (int, float) for value in data[name]):
            raise ValueError(f"{name} is a list of numbers")
    if not isinstance(data.get("indoors", False), bool):
        raise ValueError("indoors is true or false")
    for name in ("latitude_deg", "longitude_deg"):
        if name in data and type(data[name]) not in (int, float):
            raise ValueError(f"{name} is a number")
    return Climate(
        key=key,
        name=words["name"] or key,
        region=words["region"],
        country=words["country"],
        station=words["station"],
        temp_c=tuple(map(float, data["temp_c"])),
        rh_pct=tuple(map(float, data["rh_pct"])),
        period=words["period"],
        known=Known(
            Status(words["status"] or Status.JUDGEMENT), words["source"] or "own-place", words["note"]
        ),
        latitude_deg=data.get("latitude_deg"),
        longitude_deg=data.get("longitude_deg"),
        indoors=data.get("indoors", False),
    )


def write_place(climate: Climate, *, replace: bool) -> Path:
    """Keep a place, whole or not at all.

    :param replace: True to put it in the place of an older one of the same name
    :returns: the file
    :raises Refusal: there is one of this name, or the folder cannot be written
    """
    path = places_folder() / f"{climate.key}.toml"
    temporary = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with open(temporary, "w", encoding="utf-8") as file:
                file.write(_text(climate))
                file.flush()
                os.fsync(file.fileno())
            if replace:
                os.replace(temporary, path)
            else:
                os.link(temporary, path)  # the one call that neither overwrites nor leaves half a file
        finally:
            with contextlib.suppress(OSError):
                temporary.unlink(missing_ok=True)
    except FileExistsError:
        raise Refusal(
            "PLACE_EXISTS",
            f"There is a place {climate.key} of your own already.",
            "A place is never replaced unasked.",
            "Type another name, or add --force.",
            fields=("name",),
            file=str(path),
        ) from None
    except OSError as problem:
        raise Refusal(
            "CANNOT_WRITE",
            f"{path} cannot be written: {problem.strerror}.",
            "Places of your own lie in $XDG_DATA_HOME/woodmove/places, or in ~/.local/share/woodmove/places.",
            "Make the folder writable, or set XDG_DATA_HOME.",
            file=str(path),
        ) from None
    return path


def _text(climate: Climate) -> str:
    def quoted(text: str) -> str:
        safe = text.replace("\\", "\\\\").replace('"', '\\"')
        return '"' + re.sub(r"[\x00-\x1f\x7f]", lambda match: f"\\u{ord(match[0]):04x}", safe) + '"'

    def listed(values: tuple[float, ...]) -> str:
        return "[" + ", ".join(f"{value:.6g}" for value in values) + "]"

    known = climate.known
    lines = ["# A place of your own. Monthly means, January to December; add to this file what you like.", ""]
    for name, value in (
        ("name", climate.name), ("region", climate.region), ("country", climate.country),
        ("station", climate.station), ("period", climate.period), ("source", known.source),
        ("status", known.status.value), ("note", known.remark),
    ):  # fmt: skip
        lines.append(f"{name} = {quoted(value)}")
    for name, number in (("latitude_deg", climate.latitude_deg), ("longitude_deg", climate.longitude_deg)):
        if number is not None:
            lines.append(f"{name} = {number:.6g}")
    if climate.indoors:
        lines.append("indoors = true  # used as it is; false for outdoor air")
    lines += ["", f"temp_c = {listed(climate.temp_c)}", f"rh_pct = {listed(climate.rh_pct)}"]
    return "\n".join(lines) + "\n"


# Files as places.


def place_of_file(name: str) -> Climate | None:
    """The place that a weather file holds, or the room of which a logger's file holds a year; None if the
    name is no path.

    :raises Refusal: a path of something else
    """
    if not (name.lower().endswith(_SUFFIXES) or "/" in name or os.sep in name):
        return None
    try:
        state = os.stat(name)
    except (OSError, ValueError):
        return _read(name, 0, 0)  # which says why
    return _read(name, state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=8)
def _read(path: str, changed: int, size: int) -> Climate:
    """One plan asks for its place several times; the file is read once, as long as it stays the same."""
    from woodmove.files.air.logger import read_logger
    from woodmove.files.air.weather import climate_of_file, looks_like_weather

    if looks_like_weather(path) or not path.lower().endswith((".csv", ".txt", ".tsv")):
        return climate_of_file(path)
    logged = read_logger(path)
    short = [month for month, days in enumerate(logged.air.days_in_months()) if days < ENOUGH_DAYS]
    if short:
        raise Refusal(
            "NOT_A_YEAR",
            f"{path} is no whole year: {len(short)} months have fewer than {ENOUGH_DAYS} days of readings.",
            "A place needs all twelve months.",
            f"Complete it from a place near it: woodmove climate add NAME {path} --place burlington.",
            file=path,
        )
    words = f"logged in {Path(path).name}"
    notes = (*logged.notes, *logged.left_out)
    months = logged.air.monthly()
    return climate_of_log(key_of(path), months, logged.air, words, indoors=True, notes=notes)


def climate_of_log(
    key: str,
    months: MonthlyAir,
    air: AirSeries,
    words: str,
    *,
    indoors: bool,
    notes: tuple[Note, ...] = (),
) -> Climate:
    """The place of a logger.

    :param months: its twelve months
    :param air: its records
    :param indoors: False where it hung outdoors
    :param notes: what to know of its records
    """
    first, last = (str(time)[:10] for time in (air.times[0], air.times[-1]))
    return Climate(
        key, key, "", "", tuple(months.temp_c.tolist()), tuple(months.rh_pct.tolist()), f"{first} to {last}",
        Known(Status.PUBLISHED, "own-log", words), hours=air, indoors=indoors, notes=notes,
    )  # fmt: skip


def key_of(path: str) -> str:
    """The key that a file's place goes by."""
    return re.sub(r"[^a-z0-9]+", "-", Path(path).stem.lower()).strip("-") or "own-file"
