"""`python -m woodcalc`: a folder of lessons, opened in JupyterLab."""

import sys

from woodcalc.lesson.opening import main

sys.exit(main(sys.argv[1:]))
