"""`python -m chairgap`."""

from chairgap.cli import main

if __name__ == "__main__":
    main()
