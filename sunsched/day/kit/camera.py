"""The camera that a day is shot with. Its figures are common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A camera and how it is set.

    Attributes
    ----------
    sensor_width_mm : of what is used of the sensor; Super 35 unless told
    aspect : width over height of what is used of the sensor
    squeeze : how much wider an anamorphic lens sees; 1 for a spherical one
    iso, shutter_deg, frames_s : sensitivity, shutter angle, frames a second
    stop : the T-stop that is wanted
    height_m : of the lens over the ground
    """

    sensor_width_mm: float = 24.9
    aspect: float = 1.78
    squeeze: float = 1.0
    iso: float = 800.0
    shutter_deg: float = 180.0
    frames_s: float = 24.0
    stop: float = 4.0
    height_m: float = 1.5

    @property
    def sensor_height_mm(self) -> float:
        """Give the height of what is used of the sensor."""
        return self.sensor_width_mm / self.aspect

    @property
    def time_s(self) -> float:
        """Give how long each frame is lit."""
        return self.shutter_deg / 360.0 / self.frames_s
