"""`python -m woodcalc`: a folder of lessons, opened in JupyterLab; `python -m woodcalc room`: a reading room."""

import sys

from woodcalc.leader import reading_room
from woodcalc.lesson import opening

if sys.argv[1:2] == ["room"]:
    sys.exit(reading_room.main(sys.argv[2:]))
sys.exit(opening.main(sys.argv[1:]))
