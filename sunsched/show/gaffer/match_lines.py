"""How the light of a match's shots differs from that of the first made, and what brings it back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sunsched.day.kit.weather import Haze
from sunsched.show.gaffer.light_lines import faces
from sunsched.show.gaffer.lines import Line, Section, counted_stops
from sunsched.show.gaffer.moment import Setup, Sun
from sunsched.sky.daylight.colour import colour_of, mired
from sunsched.sky.daylight.exposure import stops_between
from sunsched.sky.daylight.illuminance import LEAST_DEG, Sky, daylight
from sunsched.sky.grip.cloth import to_take

SAME_STOPS, SAME_MIRED = 1 / 6, 10.0  # smaller differences are of the model


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What a shot of a match is lit by, in the middle of its roll under a clear sky."""

    from_lens_deg: float
    height_deg: float
    lit_klx: float
    shadow_klx: float
    sun_k: float | None


def key_of(setup: Setup, sun: Sun, haze: Haze) -> Key | None:
    """Give the key of a setup; None with the sun so low that nothing is computed."""
    middle = sun.middle
    height = float(sun.elevation_deg[middle])
    if height < LEAST_DEG:
        return None
    number, arrives = setup.start.timetuple().tm_yday, float(sun.arrives[middle])
    from_lens = float(sun.from_lens_deg(setup.look_deg)[middle])
    clear = daylight(height, number, Sky.CLEAR, arrives)
    of = faces(clear, height, from_lens, setup.spot.ground.share)
    colour = colour_of(height, haze)
    return Key(
        from_lens_deg=from_lens,
        height_deg=height,
        lit_klx=of.lit,
        shadow_klx=of.shadow,
        sun_k=None if colour is None or arrives <= 0.0 else colour.sun_k,
    )


def match_section(
    first: tuple[str, Key | None], own: Key | None, stops_of: Mapping[str, float]
) -> Section:
    """Compare a shot with the first one made of its match.

    Parameters
    ----------
    first : id and key of that one
    stops_of : what each cloth takes
    """
    shot_id, other = first
    if own is None or other is None:
        line = Line(name=f"to {shot_id}", text="not computed: the sun is too low in one of them")
        return Section(title="match", lines=(line,))
    return Section(title="match", lines=tuple(_lines(shot_id, other, own, stops_of)))


def _lines(shot_id: str, first: Key, own: Key, stops_of: Mapping[str, float]) -> Iterator[Line]:
    name = f"to {shot_id}"
    was, now = first.from_lens_deg, own.from_lens_deg
    other_side = " on the other side," if was * now < 0 and min(abs(was), abs(now)) > 10 else ""
    turned = _more(abs(now) - abs(was), "farther round from the lens", "nearer to its axis")
    higher = _more(own.height_deg - first.height_deg, "higher", "lower")
    text = f"the sun stands {turned},{other_side} {higher}"
    figures: dict[str, float] = {
        "side_deg": round(now - was, 1),
        "height_deg": round(own.height_deg - first.height_deg, 1),
    }
    yield Line(
        name=name, text=text, brief=(f"sun {turned},{other_side} {higher}",), figures=figures
    )
    yield _level(name, first, own, stops_of)
    yield _contrast(name, first, own)
    if first.sun_k is not None and own.sun_k is not None:
        yield _colour(name, first.sun_k, own.sun_k)


def _more(degrees: float, more: str, less: str) -> str:
    return f"{abs(degrees):.0f}° {more if degrees >= 0 else less}"


def _level(name: str, first: Key, own: Key, stops_of: Mapping[str, float]) -> Line:
    apart = stops_between(own.lit_klx, first.lit_klx)
    figures = {"key_stops": round(apart, 2)}
    if abs(apart) < SAME_STOPS:
        return Line(name=name, text="key at the same level", figures=figures)
    if apart < 0:
        brief = f"key {counted_stops(-apart)} lower"
        text = f"{brief}: open up, or take as much off the background"
        return Line(name=name, text=text, brief=(brief,), figures=figures)
    stack = to_take(stops_of, apart)
    left = stack.residual_stops
    brief = f"key {counted_stops(apart)} higher"
    rest = f"{abs(left):.2f} too {'little' if left > 0 else 'much'}" if abs(left) >= 0.005 else ""
    takes = ", ".join(filter(None, (f"takes {stack.stops:.2f} stops", rest)))
    text = f"{brief}: stop down, or {' and '.join(stack.cloths)} ({takes})"
    figures["left_stops"] = round(left, 2)
    return Line(name=name, text=text, brief=(brief,), figures=figures)


def _contrast(name: str, first: Key, own: Key) -> Line:
    was, now = (stops_between(one.lit_klx, one.shadow_klx) for one in (first, own))
    figures = {"contrast_stops": round(now - was, 2)}
    if abs(now - was) < SAME_STOPS:
        return Line(name=name, text="lit side over shadow side as there", figures=figures)
    apart = counted_stops(abs(now - was))
    more, brief = "less", f"take {apart} off the fill, by a black"
    if now > was:
        more, brief = "more", f"add {apart} of fill, by a bounce"
    text = f"lit side over shadow side {apart} {more} than there: {brief}"
    return Line(name=name, text=text, brief=(brief,), figures=figures)


def _colour(name: str, was: float, now: float) -> Line:
    shift = mired(was) - mired(now)
    figures = {"mired_shift": round(shift)}
    if abs(shift) < SAME_MIRED:
        return Line(name=name, text="sun of the same colour", figures=figures)
    what = "warmer" if shift > 0 else "cooler"
    brief = f"{what} by {abs(shift):.0f} mired"
    text = f"to match, {brief} on the sun or in the grade"
    return Line(name=name, text=text, brief=(brief,), figures=figures)
