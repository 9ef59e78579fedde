"""The declination against the published test values of the World Magnetic Model."""

import csv
from datetime import date
from pathlib import Path

import pytest
from builders import a_place

from sunsched.folder.place.declination import declination

TRUTH = Path(__file__).parents[2] / "truth" / "wmm.csv"
with TRUTH.open(encoding="utf-8") as file:
    ROWS = list(csv.DictReader(line for line in file if line[0] != "#"))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: " ".join(row.values()))
def test_published_values(row):
    """On the first day of a model's first year the values are those published."""
    place = a_place(
        latitude_deg=float(row["latitude_deg"]),
        longitude_deg=(float(row["longitude_deg"]) + 180) % 360 - 180,
        elevation_m=1000 * float(row["height_km"]),
    )
    found = declination(place, date(int(float(row["year"])), 1, 1))
    assert found is not None
    assert found.deg == pytest.approx(float(row["declination_deg"]), abs=0.011)


def test_within_a_year_it_drifts_evenly():
    """Its coefficients change in a line (WMM2025 technical report): July lies half-way."""
    place = a_place(latitude_deg=78.0, longitude_deg=-80.0)
    days = (date(2027, 1, 1), date(2027, 7, 2), date(2028, 1, 1))
    first, middle, last = (declination(place, on) for on in days)
    assert first is not None
    assert middle is not None
    assert last is not None
    assert abs(last.deg - first.deg) > 0.3
    assert middle.deg == pytest.approx((first.deg + last.deg) / 2, abs=0.02)
    assert middle.deg == round(middle.deg, 2)


def test_only_the_years_of_the_models():
    """Outside the models nothing is guessed; the last day inside has the last model."""
    place = a_place(latitude_deg=36.9, longitude_deg=10.75)
    assert declination(place, date(2009, 12, 31)) is None
    assert declination(place, date(2030, 1, 1)) is None
    last = declination(place, date(2029, 12, 31))
    assert last is not None
    assert last.model == "WMM-2025"


def test_compass_near_a_pole():
    """Where the level part of the field is weak, a compass is not to be trusted."""
    pole = declination(a_place(latitude_deg=86.0, longitude_deg=140.0), date(2027, 6, 9))
    tunis = declination(a_place(latitude_deg=36.9, longitude_deg=10.75), date(2027, 6, 9))
    assert pole is not None
    assert "no compass" in pole.warning
    assert tunis is not None
    assert tunis.warning == ""
