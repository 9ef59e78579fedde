"""Which way the lens looks: against going round the circle, and published geodesics."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from sunsched.day.wish import CameraSide, SunSide, Wish
from sunsched.folder.read import read_day
from sunsched.light.angles import past_arc_deg, side_arcs
from sunsched.light.looks import looks_for, nearest_turn
from sunsched.sky.track import sun_from_lens_deg

DATA = Path(__file__).parents[2] / "data"
WISHES = [
    Wish(side=side, camera_side=camera_side)
    for side in (*list(SunSide)[1:6], SunSide.ANY)
    for camera_side in (None, *CameraSide)
    if side is not SunSide.ANY or camera_side is not None
]


def is_met(arcs, azimuth_deg, look_deg):
    """Say whether the sun stands in one of the arcs, by the fit's own measure."""
    from_lens = np.array([sun_from_lens_deg(azimuth_deg, look_deg)])
    return any(past_arc_deg(from_lens, low, high)[0] < 1e-9 for low, high in arcs)


@pytest.mark.parametrize("wish", WISHES, ids=lambda w: f"{w.side} {w.camera_side or ''}".strip())
@pytest.mark.parametrize("azimuth_deg", [0.0, 3.0, 151.0, 240.0, 359.0])
def test_looks_are_those_that_meet_the_side(wish, azimuth_deg):
    """Of all looks by half degrees, those in the arcs and no others."""
    arcs = side_arcs(wish)
    looks = looks_for(arcs, azimuth_deg)
    for look_deg in np.arange(0.25, 360.0, 0.5):
        inside = any((look_deg - low) % 360.0 <= (high - low) % 360.0 for low, high in looks)
        assert inside == is_met(arcs, azimuth_deg, look_deg), look_deg


@pytest.mark.parametrize("wish", WISHES, ids=lambda w: f"{w.side} {w.camera_side or ''}".strip())
@pytest.mark.parametrize("azimuth_deg", [0.0, 77.0, 200.0, 358.0])
@pytest.mark.parametrize("look_deg", [0.0, 10.0, 123.0, 275.0, 359.0])
def test_no_smaller_turn_will_do(wish, azimuth_deg, look_deg):
    """The turn meets the side, and no turn smaller by a degree does, to either hand."""
    arcs = side_arcs(wish)
    turn = nearest_turn(arcs, azimuth_deg, look_deg)
    assert turn.look_deg == pytest.approx((look_deg + turn.turn_deg) % 360.0)
    assert is_met(arcs, azimuth_deg, turn.look_deg + np.sign(turn.turn_deg) * 1e-7)
    smaller = np.arange(0.0, abs(turn.turn_deg) - 0.01, 0.5)
    assert not any(
        is_met(arcs, azimuth_deg, look_deg + sign * t) for t in smaller for sign in (1, -1)
    )


def test_a_side_whose_halves_touch_is_one_arc():
    """Backlight is one stretch of looks, 35° to either hand of the sun (our band of the side)."""
    assert looks_for(side_arcs(Wish(side=SunSide.BACK)), 180.0) == ((145.0, 215.0),)


def bearing(run, *words):
    """Give the bearing that the command says."""
    code, out, err = run("look", DATA / "late-ridge", *words, "--json")
    assert code == 0, err
    return json.loads(out)["look_deg"]


def test_two_points_give_the_published_bearing(run):
    """The first line of GeodTest.dat (Karney 2010) and GeographicLib's own example; from memory."""
    ends = ("--from", "36.530042355041, 0", "--to", "-48.164270779097769, 5.762344694676510")
    assert bearing(run, *ends) == pytest.approx(176.125875162171, abs=0.001)
    ends = ("--from", "-41.32, 174.81", "--to", "40.96, -5.50")
    assert bearing(run, *ends) == pytest.approx(161.06766998615873, abs=0.001)


@pytest.mark.parametrize(("reference", "turned"), [("T", False), ("M", True)])
def test_a_photo_gives_its_direction(run, tmp_path, reference, turned):
    """Exif 2.32: GPSImgDirectionRef (16) is T or M, GPSImgDirection (17) a rational of degrees."""
    file = tmp_path / "frame.jpg"
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({16: reference, 17: 123.5})
    Image.new("RGB", (8, 8)).save(file, exif=exif)
    found = bearing(run, "--photo", file)
    # Declination of the Soča valley in 2027: some 4° to 5° east (World Magnetic Model 2025).
    assert (4.0 < found - 123.5 < 5.5) if turned else found == pytest.approx(123.5)


def test_a_sun_at_a_time_gives_the_look(run):
    """The sun 40° right of the lens: the lens looks 40° to the left of it."""
    code, out, _ = run(
        *("look", DATA / "late-ridge", "--sun", "40° right of lens", "--at", "14:10", "--json")
    )
    assert code == 0
    record = json.loads(out)
    (arc,) = record["looks"]
    expected = (record["sun_azimuth_deg"] - 40.0) % 360.0
    assert arc["from_deg"] == arc["to_deg"] == pytest.approx(expected, abs=0.01)


def test_a_shots_moments_are_those_of_its_fit(run):
    """Where nothing is to turn its side is met; its windows are those of `windows`."""
    day = read_day(DATA / "late-ridge")
    shot = day.shot("4B")
    code, out, _ = run("look", DATA / "late-ridge", "--shot", "4b", "--json")
    assert code == 0
    record = json.loads(out)
    assert record["look_deg"] == shot.look_deg
    for one in record["moments"]:
        met = is_met(side_arcs(shot.wish), one["sun_azimuth_deg"], shot.look_deg)
        assert met == (abs(one["turn_deg"]) < 0.01)
    assert any(one["turn_deg"] > 0 for one in record["moments"]) or any(
        one["turn_deg"] < 0 for one in record["moments"]
    )
    shown = json.loads(run("windows", DATA / "late-ridge", "--json")[1])
    (own,) = [one for one in shown["shots"] if one["id"] == "4B"]
    assert [one["start"] for one in record["right"]] == [one["start"] for one in own["windows"]]


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        ((), 2, "give one of --shot ID"),
        (("--shot", "4B", "--sun", "back"), 2, "give one of --shot ID"),
        (("--shot", "9Z"), 2, "no such shot: `9Z`"),
        (("--sun", "back"), 2, "--at HH:MM"),
        (("--sun", "bak", "--at", "11:00"), 2, "not a sun side"),
        (("--sun", "any", "--at", "11:00"), 2, "asks for no side"),
        (("--sun", "200 left", "--at", "11:00"), 2, "not a sun side"),
        (("--from", "46, 13"), 2, "go together"),
        (("--from", "46, 13", "--to", "46, 13"), 1, "both points are one"),
        (("--photo", "none.jpg"), 1, "cannot be read"),
        (("--shot", "4B", "--at", "25:00"), 2, "not a clock time"),
        (("--photo", "x.jpg", "--at", "11:00"), 2, "--shot or --sun"),
    ],
)
def test_what_cannot_be_answered_is_said(run, words, code, told):
    """Wrong use is told with what to type instead."""
    ran = run("look", DATA / "late-ridge", *words)
    assert (ran[0], ran[1]) == (code, "")
    assert told in ran[2]
