"""What every timing here has: a yardstick measured on the same machine, printed beside it."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as `fixplan` itself sets it

import pytest


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]):
    """Prints one line per measure, past pytest's capture."""

    def tell(what: str, measured_s: float, yardstick: str, yardstick_s: float, aim: float) -> float:
        ratio = measured_s / yardstick_s
        with capsys.disabled():
            print(
                f"\n{what}: {1000 * measured_s:.1f} ms; {yardstick}: {1000 * yardstick_s:.1f} ms; "
                f"ratio {ratio:.2f}, aim under {aim}"
            )
        return ratio

    return tell
