"""A film in words: its size, and at how many frames a second it was filmed and plays."""

from __future__ import annotations

from analysis.film.spacing import spacing
from analysis.values.film import Film, RateSource, RateWitness
from analysis.values.words import tr

_SAME_HZ = 0.5


def film_words(film: Film) -> str:
    """Size and rates in a few words."""
    return f"{size_words(*film.shown_size)} · {rate_words(film)}"


def size_words(width: int, height: int) -> str:
    """The size of a picture, px."""
    return tr("{width} × {height}").format(width=width, height=height)


def rate_words(film: Film) -> str:
    """The rate of filming and who says so, that of playing where it is another, the longest gap of a film
    whose rate varies.
    """
    rate = film.capture_rate_hz or film.container_rate_hz
    agreed = film.rate_said_by is RateWitness.COACH and film.rate_source is RateSource.TIMES
    parts = [(_AGREED if agreed else _FILMED[film.rate_said_by]).format(rate=rate)]
    if abs(rate - film.container_rate_hz) > _SAME_HZ:
        parts.append(tr("plays at {rate:.4g}").format(rate=film.container_rate_hz))
    frames = spacing(film.facts.times)
    if frames is not None and frames.quicker_s is not None:
        quicker = 1 / frames.quicker_s
        parts.append(tr("variable, {rate:.0f} a second in places").format(rate=quicker))
    elif frames is not None and not frames.even:
        parts.append(tr("variable, longest gap {gap}").format(gap=_gap_text(frames.longest_s)))
    return " · ".join(parts)


def _gap_text(seconds: float) -> str:
    return tr("{s:.0f} s").format(s=seconds) if seconds >= 2 else tr("{ms:.0f} ms").format(ms=seconds * 1000)


_FILMED = {
    RateWitness.NOBODY: tr("{rate:.4g} frames a second, if it isn't slow motion"),
    RateWitness.TIMES: tr("filmed at {rate:.4g} frames a second"),
    RateWitness.CAMERA: tr("filmed at {rate:.4g} frames a second, by the camera"),
    RateWitness.COACH: tr("filmed at {rate:.4g} frames a second, as you said"),
}
_AGREED = tr("filmed at {rate:.4g} frames a second, by its own times; you said about that")
"""Where the coach's word is that of the camera's setting, which its times know better."""
