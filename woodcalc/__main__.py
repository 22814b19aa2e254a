"""`python -m woodcalc`: a folder of lessons, opened in JupyterLab; `python -m woodcalc room`: a reading room."""

import sys

if sys.argv[1:2] == ["room"]:  # its imports take a second that the lessons need not wait for
    from woodcalc.leader.reading_room import main

    sys.exit(main(sys.argv[2:]))
else:
    from woodcalc.lesson.opening import main

    sys.exit(main(sys.argv[1:]))
