"""``python -m squarewright.command``."""

import sys

from squarewright.command import main

if __name__ == "__main__":
    sys.exit(main())
