"""A rail with a run on it."""

import pytest

from app.rail.rail import StepRail
from app.theme.apply import apply_theme
from app.theme.tokens import LIGHT
from tests.app.rail.invented import a_film, a_reading, a_run


@pytest.fixture(autouse=True)
def _light(qapp):
    apply_theme(qapp, LIGHT)


@pytest.fixture
def run():
    return a_run()


@pytest.fixture
def rail(qtbot, run):
    rail = StepRail()
    qtbot.addWidget(rail)
    rail.resize(rail.sizeHint().width(), 640)
    rail.show_run(run, a_film(run), a_reading(run))
    with qtbot.waitExposed(rail):
        rail.show()
    return rail
