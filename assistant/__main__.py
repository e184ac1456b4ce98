"""``python -m assistant`` is ``crockside``."""

import sys

from assistant.console.main import main

sys.exit(main())
