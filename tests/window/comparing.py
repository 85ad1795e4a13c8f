"""A coach in front of two films."""

from tests.window.coach import Coach


class ComparingCoach(Coach):
    """A coach in front of two films; keys go to the one in hand."""

    def __init__(self, qtbot, window):
        super().__init__(qtbot, window)
        self.compare = window.compare_workspace

    @property
    def upper(self):
        return self.compare.upper_side

    @property
    def lower(self):
        return self.compare.lower_side

    def begin(self):
        """Turn to the two runs."""
        self.qtbot.waitUntil(self.window.isActiveWindow)
        self.press("Ctrl+2", on=self.view)
        self.frames()

    def press(self, keys, times=1, on=None):
        super().press(keys, times, on or self.compare.active.pane.view)

    def frames(self):
        """The frames of both films, once both are on show."""
        panes = self.upper.pane, self.lower.pane
        self.qtbot.waitUntil(lambda: all(p.shown == p.wanted for p in panes))
        return panes[0].shown, panes[1].shown
