"""`python -m pacer` is `pacer`."""

import sys

from pacer.commands import main

sys.exit(main())
