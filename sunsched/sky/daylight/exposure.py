"""Exposure from light: ISO 2720:1974, incident light, N² / t = E S / C."""

from __future__ import annotations

from math import log2, log10, sqrt

from sunsched.day.kit.camera import Camera

# Lux seconds; the standard lets makers of meters choose, and 330 to 340 is usual for a dome. With
# 340 the old rule of f/16 in the sun comes out within a fifth of a stop.
DOME = 340.0
DENSITY_OF_STOP = log10(2.0)


def exposure_value(lux: float) -> float:
    """Give the exposure value at ISO 100 of an incident light above 0."""
    return log2(100.0 * lux / DOME)


def t_stop(ev: float, camera: Camera) -> float:
    """Give the T-stop at which a light of this exposure value at ISO 100 is exposed as it is."""
    return sqrt(2.0**ev * camera.time_s * camera.iso / 100.0)


def nd_stops(stop: float, wanted: float) -> float:
    """Give the stops of neutral density that bring a T-stop to a wanted one; below 0 for none."""
    return 2.0 * log2(stop / wanted)


def nd_density(stops: float) -> float:
    """Give neutral density of so many stops as it is written on filters."""
    return stops * DENSITY_OF_STOP


def stops_between(light: float, other: float) -> float:
    """Give how many stops one light is over another; below 0 where it is under."""
    return log2(light / other)
