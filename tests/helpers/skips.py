"""What the end of a run says about tests that were skipped."""

import os
from collections import Counter

import pytest

MARK = "needs the program "


def _skipped(reporter):
    for report in reporter.stats.get("skipped", []):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        yield reason.removeprefix("Skipped: ")


def missing_programs(reporter):
    """Names each missing program once, with the number of tests that wait for it."""
    counts = Counter(reason.removeprefix(MARK) for reason in _skipped(reporter) if reason.startswith(MARK))
    if counts:
        reporter.section("programs missing on this machine")
    for program, number in sorted(counts.items()):
        reporter.line(f"{program}: {number} test{'s' if number > 1 else ''} skipped")


def fail_on_skips(session):
    """With CINDERLANE_NO_SKIPS=1 a skipped test fails the run: nothing may go untested unnoticed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if os.environ.get("CINDERLANE_NO_SKIPS") != "1" or reporter is None:
        return
    reasons = sorted(set(_skipped(reporter)))
    if reasons:
        reporter.section("skipped, which this run does not allow")
        for reason in reasons:
            reporter.line(reason)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
