"""Outdoor air of places, read when the first place is asked for: a TOML file per place of ``places``, and
``world.csv``, a row per place outside the United States.

A place is added by laying another file of the same keys beside the others in ``places``; the name
of the file is the key of the place.
"""

import csv
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from woodmove.extend.api import Climate, Known, Status, assumption, hookimpl

WOODMOVE_PLUGIN_API = 1

_WORDS = {"name", "region", "country", "station", "source", "status", "temp_period", "rh_period"}
_MONTHLY = {"temp_c", "rh_pct"}
_OPTIONAL_MONTHLY = {"rh_morning_pct", "rh_afternoon_pct"}
_OPTIONAL = {"note", "aliases", "latitude_deg", "longitude_deg"}


@hookimpl
def woodmove_climates() -> list[Climate]:
    """The places of this package, in the order of their keys."""
    found = [file for file in (files(__name__) / "places").iterdir() if file.name.endswith(".toml")]
    rows = csv.DictReader((files(__name__) / "world.csv").read_text(encoding="utf-8").splitlines())
    return sorted([*map(read_place, found), *map(_normals, rows)], key=lambda place: place.key)


# Of these the winter is reckoned from vapour pressure at low temperature (status: judgement).
RH_DOUBTFUL = assumption(
    "RH_DOUBTFUL",
    "The winter humidity of {place} is reckoned from its vapour pressure, and may be off by 10 % RH.",
    place=None,
)


def _normals(row: dict[str, str]) -> Climate:
    """A row of the climatological normals. Humidity that a station does not print is reckoned from vapour
    pressure and temperature, less the bias found at stations that print both."""
    published = row["rh_status"] == "published"
    months = range(1, 13)
    return Climate(
        key=row["key"],
        name=row["name"],
        region="",
        country=row["country"],
        station=row["station"],
        temp_c=tuple(float(row[f"t_{month}"]) for month in months),
        rh_pct=tuple(float(row[f"rh_{month}"]) for month in months),
        period="normal of 1991-2020",
        known=Known(Status.PUBLISHED if published else Status.DERIVED, "wmo-normals", row["remark"]),
        latitude_deg=float(row["latitude_deg"]),
        longitude_deg=float(row["longitude_deg"]),
        aliases=(f"{row['name']} {row['country']}",),
        notes=(RH_DOUBTFUL(place=row["name"]),) if row["rh_status"] == "doubtful" else (),
    )


def read_place(file: Traversable) -> Climate:
    """The climate that a file holds.

    :raises ValueError: not TOML, a key that is unknown or missing, a month too few or too many, or a
        value that no climate has; it names the file
    """
    import tomllib  # not needed by a run that asks for no place

    try:
        place = tomllib.loads(file.read_text(encoding="utf-8"))
        _check(place)
        return Climate(
            key=file.name.removesuffix(".toml"),
            name=place["name"],
            region=place["region"],
            country=place["country"],
            station=place["station"],
            temp_c=tuple(map(float, place["temp_c"])),
            rh_pct=tuple(map(float, place["rh_pct"])),
            period=f"temperature {place['temp_period']}; humidity {place['rh_period']}",
            known=Known(place["status"], place["source"], place.get("note", "")),
            latitude_deg=place.get("latitude_deg"),
            longitude_deg=place.get("longitude_deg"),
            aliases=tuple(place.get("aliases", ())),
        )
    except ValueError as problem:
        raise ValueError(f"{file.name}: {problem}") from problem


def _check(place: dict[str, Any]) -> None:
    required = _WORDS | _MONTHLY
    if unknown := place.keys() - required - _OPTIONAL_MONTHLY - _OPTIONAL:
        raise ValueError(f"a place has no {', '.join(sorted(unknown))}")
    if missing := required - place.keys():
        raise ValueError(f"{', '.join(sorted(missing))} is missing")
    for key in sorted((_WORDS | {"note"}) & place.keys()):
        if not isinstance(place[key], str):
            raise ValueError(f"{key} is text in quotation marks")
    aliases = place.get("aliases", [])
    if not isinstance(aliases, list) or not all(isinstance(alias, str) for alias in aliases):
        raise ValueError("aliases is a list of names in quotation marks")
    for key in sorted((_MONTHLY | _OPTIONAL_MONTHLY) & place.keys()):
        months = place[key]
        if not isinstance(months, list) or not all(type(value) in (int, float) for value in months):
            raise ValueError(f"{key} is a list of numbers")
        if len(months) != 12:
            raise ValueError(f"{key} has twelve months, January to December, not {len(months)}")
