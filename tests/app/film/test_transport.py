"""The bar under the film, as it says where the film is."""

from __future__ import annotations

from types import SimpleNamespace

from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.actions import Actions
from app.film.transport import TransportBar


class _Layouts(QObject):
    """Counts how often a widget is asked to lay out what it holds."""

    count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.count += event.type() is QEvent.Type.LayoutRequest
        return False


def test_saying_another_frame_lays_nothing_out_anew(qtbot: object) -> None:
    host = QWidget()
    qtbot.addWidget(host)  # type: ignore[attr-defined]
    bar = TransportBar(Actions(host), host)
    QVBoxLayout(host).addWidget(bar)
    host.resize(1200, 100)
    host.show()
    film = SimpleNamespace(frames=2400, facts=SimpleNamespace(times=SimpleNamespace(at=lambda n: n / 240)))
    bar.set_place(film, 0, 1.0)  # type: ignore[arg-type]
    QCoreApplication.sendPostedEvents()
    QCoreApplication.processEvents()
    layouts = _Layouts()
    for widget in (host, bar):
        widget.installEventFilter(layouts)
    for frame in (1, 9, 10, 239, 2399):
        bar.set_place(film, frame, 1.0)  # type: ignore[arg-type]
        QCoreApplication.processEvents()
        assert bar.where.sizeHint().width() <= bar.where.width()
    assert layouts.count == 0
