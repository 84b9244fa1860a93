"""What every timing here has: a yardstick measured on the same machine, printed beside it."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as `fixplan` itself sets it

import gc

import pytest

from fixplan.desk.tidying import begin_tidying


@pytest.fixture(autouse=True)
def tidied() -> None:
    """Rubbish is looked for as the desk does it once it has begun."""
    gc.collect()
    begin_tidying()


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
