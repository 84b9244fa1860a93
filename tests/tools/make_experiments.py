"""Writes resources/help/hold_against_experiments.md anew. Run from the project's folder.

.venv/bin/python tests/tools/make_experiments.py
"""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.validation.experiments import page  # noqa: E402

(ROOT / "resources" / "help" / "hold_against_experiments.md").write_text(page(), encoding="utf-8")
