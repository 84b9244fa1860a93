"""When the interpreter looks for rubbish: never while something is dragged.

One full look takes 60 ms, and a drag makes no cyclic rubbish, so nothing is lost by waiting for its
end.
"""

import gc

USUAL_THRESHOLD = (700, 10, 10)


def begin_tidying() -> None:
    """After the start: what it made stays, and need not be looked through again."""
    gc.freeze()
    gc.set_threshold(*USUAL_THRESHOLD)


def wait_with_tidying() -> None:
    """A gesture moves something."""
    gc.disable()


def go_on_tidying() -> None:
    """The gesture is over."""
    gc.enable()
