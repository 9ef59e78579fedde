"""The command line: the one place that prints.

In: the words of a command; reads the day and calls what answers.
Out: text or JSON on stdout, messages on stderr, an exit code.
"""

from __future__ import annotations

import os
import signal


def main() -> None:
    """Run the command line. Ctrl-C is heard before anything else is loaded, which takes a while."""
    _end_while_loading()
    from sunsched.cli.run import run

    run()


def _end_while_loading() -> None:
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, lambda *_: os._exit(1))
