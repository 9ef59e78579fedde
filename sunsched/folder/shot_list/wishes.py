"""What one row of the shot list asks of the sun, and what frames make up for."""

from __future__ import annotations

from functools import partial

from sunsched.day.wish import Band, CameraSide, SunSide, Wish
from sunsched.folder.settings.facts import Facts
from sunsched.folder.tables.cells import Cells
from sunsched.folder.text import bands, suns, words
from sunsched.folder.text.suns import SunWords

ELEVATION_GIVE_DEG = 5.0
AZIMUTH_GIVE_DEG = 20.0
ANYTHING = SunWords(sides=((SunSide.ANY, None),))


def read_wish(cells: Cells, facts: Facts) -> Wish:
    """Read the columns sun, sun_from, elevation, azimuth and give_deg of one row.

    `give_deg` is the give of the sun side and of the azimuth band; blank, the side keeps its own
    two gives and the band has 20°. That of an elevation band stays at 5°, as the same slip means
    far more in height than in azimuth.
    """
    asked = cells.get("sun", suns.sun_words, ANYTHING)
    named = cells.get("sun_from", words.camera_side, None)
    (side, camera_side), *others = [
        _sided(cells, side, camera_side, named) for side, camera_side in asked.sides
    ]
    dusk = side is SunSide.DUSK
    reader = partial(bands.elevation_band, known=facts.words, below_horizon=dusk)
    spoken = reader(asked.elevation) if asked.elevation else None
    elevation = cells.get("elevation", reader, spoken or (facts.words["dusk"] if dusk else None))
    azimuth = cells.get(
        "azimuth", bands.azimuth_band, bands.azimuth_band(asked.azimuth) if asked.azimuth else None
    )
    give_deg = cells.get("give_deg", partial(words.number, low=1, high=90), None)
    turn = facts.declination_deg
    wish = Wish(
        side=side,
        camera_side=camera_side,
        others=tuple(others),
        give_deg=give_deg,
        azimuth=azimuth
        and Band(
            low_deg=(azimuth[0] + turn) % 360,
            high_deg=(azimuth[1] + turn) % 360,
            give_deg=AZIMUTH_GIVE_DEG if give_deg is None else give_deg,
        ),
        elevation=elevation
        and Band(low_deg=elevation[0], high_deg=elevation[1], give_deg=ELEVATION_GIVE_DEG),
    )
    turned = side not in (SunSide.ANY, SunSide.SHADE, SunSide.DUSK) or wish.camera_side or azimuth
    if "give_deg" in cells.row.cells and not turned:
        cells.findings.warn(
            cells.row.at("give_deg"),
            "not used",
            cells.row.cells["give_deg"],
            hint="the give is that of the sun side or the azimuth band; this shot has neither",
        )
    return wish


def _sided(
    cells: Cells, side: SunSide, camera_side: CameraSide | None, named: CameraSide | None
) -> tuple[SunSide, CameraSide | None]:
    """Give a side with the half of the surroundings that `sun` or `sun_from` names."""
    if named is not None and camera_side is not None and named is not camera_side:
        cells.findings.fault(
            cells.row.at("sun_from"),
            f"not the side that `sun` names, {camera_side}",
            named,
            expected="the same side, or blank",
        )
    return side, camera_side if named is None else named


def read_control(cells: Cells, wish: Wish, hold: bool) -> float | None:
    """Read the share of its loss that frames make up for; None for that of the size."""
    control = cells.get("control", partial(words.number, low=0, high=1), None)
    if hold:
        hint = "a hold waits for its sun, and no frame makes up for it"
    elif wish.is_twilight:
        hint = "this is a shot of dusk or dawn, and no frame makes up for it"
    elif wish.asks_nothing:
        hint = "this shot asks nothing of the sun, so there is no loss to make up for"
    else:
        return control
    if control is not None:
        where = cells.row.at("control")
        cells.findings.warn(where, "not used", cells.row.cells["control"], hint=hint)
    return control
