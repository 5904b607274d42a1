"""``python -m packet``."""

import sys

from packet.cli import main

sys.exit(main())
