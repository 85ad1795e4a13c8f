"""The project's own icons, as shapes on a grid of 20 by 20; y runs downwards.

A ground line with what leaves or meets it stands for events, a jointed leg or trunk for lines of the body,
a ring with a cross for something placed on the picture.
"""

from __future__ import annotations

from collections.abc import Callable

from app.theme.drawing import Glyph

GROUND_Y = 16.5


def _ground() -> Glyph:
    return Glyph().line((3, GROUND_Y), (17, GROUND_Y))


def _shoe(glyph: Glyph, y: float, *, tilt: float = 0.0) -> Glyph:
    """A shoe seen from the side, its sole at ``y``, its heel higher by ``tilt``."""
    return glyph.area(
        (4.5, y - 5 - tilt), (8, y - 5 - 0.8 * tilt), (10, y - 3), (15.5, y - 1.6), (15.5, y), (4.5, y - tilt)
    )


def play() -> Glyph:
    return Glyph().area((6, 4), (16, 10), (6, 16))


def reverse() -> Glyph:
    return Glyph().area((14, 4), (4, 10), (14, 16))


def pause() -> Glyph:
    return Glyph().box(5.5, 4, 3, 12, 0.6).box(11.5, 4, 3, 12, 0.6)


def step_forward() -> Glyph:
    return Glyph().frame(3, 4.5, 5, 11, 1).line((11, 10), (17, 10)).line((14.5, 7.5), (17, 10), (14.5, 12.5))


def step_back() -> Glyph:
    return Glyph().frame(12, 4.5, 5, 11, 1).line((9, 10), (3, 10)).line((5.5, 7.5), (3, 10), (5.5, 12.5))


def ten_forward() -> Glyph:
    return (
        Glyph()
        .line((3, 5), (3, 15))
        .line((5.5, 5), (5.5, 15))
        .line((8, 5), (8, 15))
        .line((11, 10), (17, 10))
        .line((14.5, 7.5), (17, 10), (14.5, 12.5))
    )


def ten_back() -> Glyph:
    return (
        Glyph()
        .line((17, 5), (17, 15))
        .line((14.5, 5), (14.5, 15))
        .line((12, 5), (12, 15))
        .line((9, 10), (3, 10))
        .line((5.5, 7.5), (3, 10), (5.5, 12.5))
    )


def next_event() -> Glyph:
    return _ground().box(12.5, 4, 4, 9, 0.8).line((3, 8.5), (9.5, 8.5)).line((7, 6), (9.5, 8.5), (7, 11))


def previous_event() -> Glyph:
    return _ground().box(3.5, 4, 4, 9, 0.8).line((17, 8.5), (10.5, 8.5)).line((13, 6), (10.5, 8.5), (13, 11))


def loop() -> Glyph:
    return (
        Glyph()
        .line((3, 5), (3, 15))
        .line((17, 5), (17, 15))
        .line((6, 7.5), (14, 7.5))
        .line((12, 5.5), (14, 7.5), (12, 9.5))
        .line((14, 13), (6, 13))
        .line((8, 11), (6, 13), (8, 15))
    )


def replay() -> Glyph:
    return (
        Glyph()
        .arc(10, 10, 6.25, 110, -290)
        .line((4.6, 4.1), (7.9, 4.1), (7.9, 7.4))
        .box(8.2, 7.2, 1.6, 5.6, 0.5)
        .box(11, 7.2, 1.6, 5.6, 0.5)
    )


def speed() -> Glyph:
    return Glyph().arc(10, 13, 7, 0, 180).line((10, 13), (13.6, 8.4)).dot(10, 13, 1.5)


def open_() -> Glyph:
    return (
        Glyph()
        .line((3, 8), (3, 16), (17, 16), (17, 8))
        .line((10, 3.5), (10, 11.5))
        .line((7, 8.5), (10, 11.5), (13, 8.5))
    )


def export() -> Glyph:
    return (
        Glyph()
        .line((3, 8), (3, 16), (17, 16), (17, 8))
        .line((10, 12), (10, 3.5))
        .line((7, 6.5), (10, 3.5), (13, 6.5))
    )


def undo() -> Glyph:
    return (
        Glyph()
        .line((7, 4), (3.5, 7.5), (7, 11))
        .line((3.5, 7.5), (11.5, 7.5))
        .arc(11.5, 11.5, 4, 90, -180)
        .line((11.5, 15.5), (8, 15.5))
    )


def redo() -> Glyph:
    return (
        Glyph()
        .line((13, 4), (16.5, 7.5), (13, 11))
        .line((16.5, 7.5), (8.5, 7.5))
        .arc(8.5, 11.5, 4, 90, 180)
        .line((8.5, 15.5), (12, 15.5))
    )


def first_movement() -> Glyph:
    return (
        _ground()
        .ring(6, 10, 2.75)
        .line((11, 10), (17, 10))
        .line((14.5, 7.5), (17, 10), (14.5, 12.5))
        .line((6, 4), (6, 4.6))
    )


def touchdown() -> Glyph:
    return _shoe(_ground(), 15.2).line((10, 2.5), (10, 8)).line((7.8, 6), (10, 8.2), (12.2, 6))


def toe_off() -> Glyph:
    return _shoe(_ground(), 14.6, tilt=3).line((14, 9.6), (14, 3)).line((11.8, 5.2), (14, 3), (16.2, 5.2))


def mark() -> Glyph:
    """A cone, for a thing of known place."""
    return _ground().area((10, 3.5), (12, 8.3), (8, 8.3)).area((7.4, 9.8), (12.6, 9.8), (14.6, 15), (5.4, 15))


def shoe_tip() -> Glyph:
    return _shoe(_ground(), 15.2).ring(14.8, 11, 3).dot(14.8, 11, 0.9)


def hip() -> Glyph:
    return (
        Glyph()
        .line((10, 2.5), (10, 6))
        .line((8.4, 12.2), (6, 17.5))
        .line((11.6, 12.2), (14, 17.5))
        .ring(10, 9.5, 3)
        .dot(10, 9.5, 1)
    )


def body() -> Glyph:
    """A body of points in full stride."""
    return (
        Glyph()
        .line((12, 5.5), (9, 11), (13, 13), (12, 17.5))
        .line((9, 11), (6, 14.5), (3, 15.5))
        .line((6.5, 9), (8, 6.5), (12, 5.5), (16, 8.5))
        .ring(13.4, 3.2, 1.5)
        .dot(9, 11, 1.5)
        .dot(13, 13, 1.2)
    )


def wanted() -> Glyph:
    """A limb of which one point is placed and two are still to come."""
    return (
        Glyph()
        .dot(4.5, 15.5, 2.2)
        .ring(10, 8.5, 2.2)
        .ring(15.8, 14, 2.2)
        .line((5.8, 13.8), (8.6, 10.2))
        .line((11.6, 10), (14.2, 12.5))
    )


def trunk() -> Glyph:
    return Glyph().line((6, 15.5), (12.5, 6)).dot(6, 15.5, 2).dot(12.5, 6, 2).ring(15.2, 3.4, 1.4)


def shin() -> Glyph:
    return (
        _ground().line((6.5, 13), (11.5, 4.5)).dot(6.5, 13, 2).dot(11.5, 4.5, 2).line((6.5, 13), (11, 14.2))
    )


def thigh() -> Glyph:
    return Glyph().line((7.5, 4.5), (14, 10)).dot(7.5, 4.5, 2).dot(14, 10, 2).line((14, 10), (10.5, 17))


def free() -> Glyph:
    return Glyph().line((4.5, 15.5), (15.5, 4.5)).frame(2.75, 13.75, 3.5, 3.5).frame(13.75, 2.75, 3.5, 3.5)


def angle() -> Glyph:
    return Glyph().line((15, 4), (4, 16), (17, 16)).arc(4, 16, 7, 0, 47)


def fit() -> Glyph:
    return (
        Glyph()
        .line((3, 7), (3, 3), (7, 3))
        .line((13, 3), (17, 3), (17, 7))
        .line((17, 13), (17, 17), (13, 17))
        .line((7, 17), (3, 17), (3, 13))
        .frame(7, 7.5, 6, 5, 0.5)
    )


def zoom_in() -> Glyph:
    return (
        Glyph()
        .ring(8.5, 8.5, 5.5)
        .line((12.6, 12.6), (17, 17))
        .line((6, 8.5), (11, 8.5))
        .line((8.5, 6), (8.5, 11))
    )


def zoom_out() -> Glyph:
    return Glyph().ring(8.5, 8.5, 5.5).line((12.6, 12.6), (17, 17)).line((6, 8.5), (11, 8.5))


def delete() -> Glyph:
    return Glyph().line((5, 5), (15, 15)).line((15, 5), (5, 15))


def swap() -> Glyph:
    return (
        Glyph()
        .box(3, 3, 4, 6, 0.8)
        .frame(13.25, 11.25, 3.5, 5.5, 0.8)
        .line((9.5, 6), (15, 6), (15, 8.8))
        .line((13, 7), (15, 9), (17, 7))
    )


def other_film() -> Glyph:
    return (
        Glyph()
        .frame(3, 3.5, 14, 5, 0.8)
        .frame(3, 11.5, 14, 5, 0.8)
        .box(5, 13, 4, 2, 0.4)
        .line((12, 5), (12, 14.4))
        .line((10, 12.4), (12, 14.6), (14, 12.4))
    )


def lock_here() -> Glyph:
    """Two strips that meet at one place."""
    return Glyph().line((10, 2.5), (10, 17.5)).box(4, 5, 9, 3, 0.6).box(7, 12, 9, 3, 0.6)


def lock_events() -> Glyph:
    """Two strips, each event of one joined with its own on the other."""
    rows = Glyph().line((3, 4.5), (17, 4.5)).line((3, 15.5), (17, 15.5))
    return rows.line((5, 4.5), (4, 15.5)).line((10, 4.5), (8.5, 15.5)).line((15, 4.5), (16, 15.5))


def lock_place() -> Glyph:
    """Two athletes over one mark of the lane."""
    return (
        Glyph()
        .line((10, 7), (10, 15))
        .dot(10, 4.5, 2.2)
        .line((3, GROUND_Y), (17, GROUND_Y))
        .line((6, GROUND_Y - 2.5), (6, GROUND_Y))
        .line((14, GROUND_Y - 2.5), (14, GROUND_Y))
    )


def slip_back() -> Glyph:
    return (
        Glyph()
        .box(8, 4, 9, 4, 0.8)
        .frame(5, 12, 9, 4, 0.8)
        .line((6, 6), (2.5, 6))
        .line((4.4, 4), (2.4, 6), (4.4, 8))
    )


def slip_on() -> Glyph:
    return (
        Glyph()
        .box(3, 4, 9, 4, 0.8)
        .frame(6, 12, 9, 4, 0.8)
        .line((14, 6), (17.5, 6))
        .line((15.6, 4), (17.6, 6), (15.6, 8))
    )


def mirror() -> Glyph:
    return (
        Glyph()
        .line((10, 2.5), (10, 5.5))
        .line((10, 8.5), (10, 11.5))
        .line((10, 14.5), (10, 17.5))
        .area((8, 5), (8, 15), (2.5, 15))
        .line((12, 5), (12, 15), (17.5, 15), closed=True)
    )


def other_body() -> Glyph:
    """Two bodies that share their hips."""
    return (
        Glyph()
        .ring(11.5, 4, 1.8)
        .line((9, 11), (11, 6.5))
        .line((9, 11), (12.5, 13.5), (11.5, 17.5))
        .line((9, 11), (13.5, 7))
        .line((9, 11), (5.5, 14.5), (3, 14))
        .ring(14.6, 5.2, 1.8)
    )


def same_scale() -> Glyph:
    """Two lanes under one measure."""
    return (
        Glyph()
        .line((4, 3), (4, 17))
        .line((16, 3), (16, 17))
        .line((4, 6.5), (16, 6.5))
        .line((4, 13.5), (16, 13.5))
        .line((6, 4.8), (4.2, 6.5), (6, 8.2))
        .line((14, 4.8), (15.8, 6.5), (14, 8.2))
        .line((6, 11.8), (4.2, 13.5), (6, 15.2))
        .line((14, 11.8), (15.8, 13.5), (14, 15.2))
    )


def warning() -> Glyph:
    return (
        Glyph()
        .line((10, 3), (17.5, 16.5), (2.5, 16.5), closed=True)
        .line((10, 8), (10, 11.8))
        .dot(10, 14.2, 1)
    )


def note() -> Glyph:
    return Glyph().ring(10, 10, 7).line((10, 9.4), (10, 13.6)).dot(10, 6.6, 1)


def numbers() -> Glyph:
    return (
        Glyph().frame(2.75, 4.75, 14.5, 10.5, 1).box(11.5, 6.8, 3.6, 2.2, 0.4).box(11.5, 10.8, 3.6, 2.2, 0.4)
    )


def keys() -> Glyph:
    return (
        Glyph()
        .line((8, 5), (17, 5))
        .line((8, 10), (17, 10))
        .line((8, 15), (17, 15))
        .dot(4, 5, 1.2)
        .dot(4, 10, 1.2)
        .dot(4, 15, 1.2)
    )


def dark() -> Glyph:
    glyph = Glyph().ring(10, 10, 6.5)
    glyph.fills.moveTo(10, 3.5)
    glyph.fills.arcTo(3.5, 3.5, 13, 13, 90, -180)
    glyph.fills.closeSubpath()
    return glyph


def select() -> Glyph:
    """A hand's pointer over a placed point."""
    return Glyph().line((7, 4), (7, 15), (9.8, 12.2), (14.6, 12), closed=True).dot(14.5, 5, 1.4)


def slower() -> Glyph:
    return (
        Glyph().arc(10, 13, 7, 0, 180).line((10, 13), (5.6, 9.6)).dot(10, 13, 1.5).line((7.5, 17), (12.5, 17))
    )


def faster() -> Glyph:
    dial = Glyph().arc(10, 13, 7, 0, 180).line((10, 13), (14.4, 9.6)).dot(10, 13, 1.5)
    return dial.line((7.5, 17), (12.5, 17)).line((10, 15.6), (10, 18.4))


GLYPHS: dict[str, Callable[[], Glyph]] = {
    maker.__name__.rstrip("_"): maker
    for maker in (
        play, reverse, pause, step_forward, step_back, ten_forward, ten_back, next_event,
        previous_event, loop, replay, speed, open_, export, undo, redo, first_movement,
        touchdown, toe_off, mark, shoe_tip, hip, body, wanted, trunk, shin, thigh, free, angle, fit, zoom_in,
        other_film, lock_here, lock_events, lock_place, slip_back, slip_on, mirror, other_body, same_scale,
        zoom_out, delete, swap, warning, note, numbers, keys, dark, select, slower, faster,
    )
}  # fmt: skip
"""Every glyph by its name."""
