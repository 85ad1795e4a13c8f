"""Pictures of the usual formats, made in memory that is used again."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from av.filter import Graph
from av.filter.context import FilterContext
from av.video.frame import VideoFrame
from av.video.reformatter import Colorspace

_MATRIX = {None: "auto", Colorspace.ITU709: "bt709"}
_TURNS = {0: (), 90: ("transpose=cclock",), 180: ("vflip", "hflip"), 270: ("transpose=clock",)}


@dataclass(frozen=True)
class _Kind:
    """What a frame has to share with others to go through the same filters."""

    width: int
    height: int
    format: str
    colorspace: int
    color_range: int
    colours: Colorspace | None


class PooledPictures:
    """Makes pictures of frames, turned as they are shown, through filters of the decoding library.

    The filters take memory from a store of their own, to which a picture's goes back when it is let go. What
    comes from the system for each picture anew, 8 MB at 1080p, may cost up to 30 ms rather than 0.6 ms where
    new pages are dear, as on virtual machines. The frame is only read, so that two threads may have a maker
    each and convert the same one. ``rotation_deg``, ``mirrored``: see ``Orientation``.
    """

    def __init__(self, rotation_deg: int, mirrored: bool) -> None:
        self._turns = (*_TURNS[rotation_deg], *(("hflip",) if mirrored else ()))
        self._kind: _Kind | None = None
        self._graph: Graph | None = None  # the filters themselves don't keep it alive
        self._ends: tuple[FilterContext, FilterContext] | None = None

    def made(self, frame: VideoFrame, colours: Colorspace | None) -> VideoFrame:
        """The frame as blue, green, red and 255. ``colours``: those it has where it does not tell itself."""
        kind = _Kind(
            frame.width, frame.height, frame.format.name, frame.colorspace, frame.color_range, colours
        )
        if kind != self._kind or self._ends is None:
            self._ends = self._set_up(kind)
        into, out = self._ends
        into.push(frame)
        made = out.pull()
        assert isinstance(made, VideoFrame)
        return made

    def _set_up(self, kind: _Kind) -> tuple[FilterContext, FilterContext]:
        graph = Graph()
        graph.threads = 1
        # the time is passed through and asked by nobody
        into = graph.add_buffer(
            width=kind.width,
            height=kind.height,
            format=kind.format,  # type: ignore[arg-type]  # a name serves, which its stubs don't know
            time_base=Fraction(1, 1000),
        )
        steps = [
            f"scale={kind.width}:{kind.height}:flags=bicubic:in_color_matrix={_MATRIX[kind.colours]}",
            "format=pix_fmts=bgra",
            *self._turns,
        ]
        filters = [graph.add(*step.split("=", 1)) for step in steps]
        out = graph.add("buffersink")
        graph.link_nodes(into, *filters, out).configure()
        self._graph, self._kind = graph, kind
        return into, out
