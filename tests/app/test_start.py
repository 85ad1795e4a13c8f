"""What the start of the program sees to, in a process of its own."""

import os
import subprocess
import sys

PROGRAM = """
import gc
from PySide6.QtCore import QTimer
from analysis import bootstrap
from app import start
from app.application import make_app

bootstrap.has_display = lambda: True
app = make_app()

def looked_at() -> None:
    print(gc.get_freeze_count(), len(gc.get_objects()))
    app.quit()

QTimer.singleShot(0, looked_at)
raise SystemExit(start.main([]))
"""


def test_garbage_is_not_looked_for_in_the_program_itself(tmp_path):
    """Else a look through all of it, every some 25 edits, holds up the window's thread; counted by Python
    itself.
    """
    told = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        env={**os.environ, "CINDERLANE_HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    left_alone, looked_through = map(int, told.stdout.split())
    assert left_alone > 50_000 > looked_through
