"""`python -m fixplan` does what `fixplan` does."""

from fixplan.cli import run

if __name__ == "__main__":
    run()
