"""A logger's file is read in no more than twice the time of a bare reader of tables."""

import sys
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from logger_styles import Style, write

from woodmove.files.air.logger import read_logger

ROWS = 100_000
STYLES = {
    "plain": Style(),
    "German": Style(delimiter=";", comma=True, language="de", date="%d.%m.%Y %H:%M:%S"),
    "US, Fahrenheit": Style(date="%m/%d/%Y %I:%M:%S %p", fahrenheit=True, other_columns=True),
    "quoted, units in cells": Style(quote_all=True, split_date=True, units_in_cells=True),
}


@pytest.mark.parametrize("name", STYLES)
def test_a_hundred_thousand_rows(race, tmp_path, name):
    style = STYLES[name]
    start = datetime(2025, 1, 1)
    times = [start + timedelta(minutes=5 * i) for i in range(ROWS)]
    temp = np.round(20 + 3 * np.sin(np.arange(ROWS) / 50), 2).tolist()
    rh = np.round(50 + 8 * np.cos(np.arange(ROWS) / 70), 1).tolist()
    path = tmp_path / "log.csv"
    path.write_bytes(write(times, temp, rh, style))
    assert read_logger(str(path)).rows_used == ROWS
    options = {"sep": style.delimiter, "decimal": "," if style.comma else "."}
    race(
        f"logger, {name}",
        lambda: read_logger(str(path)),
        ("pandas.read_csv", lambda: pd.read_csv(path, **options)),
        2.0,
        11,
    )
