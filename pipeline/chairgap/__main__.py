"""`python -m chairgap`, and the command `chairgap`."""

from chairgap.cli.interrupts import run

if __name__ == "__main__":
    run()
