"""All panels on one page, to look at: as they start, at two corners, on a phone, small, in gray, to color-blind eyes.

    .venv/bin/python tests/contact_sheet.py build/pictures      # then open build/pictures/index.html

Beside each picture stands what it is to say in two seconds. Where it does not, the picture is to be mended: the thing
itself before the chart of it, what was before as a ghost, one accent, the number at its mark, time rightward.
"""

import html
import os
import sys
import tempfile
import warnings
from pathlib import Path

from test_panels import FIRST, MAKERS, ends, made

from woodcalc.figures.style import to_svg
from woodcalc.records import choices

PURPOSE = {
    "start.choices_panel": "This board starts this wet; the air there would leave it this dry.",
    "start.practice_panel": "The slider moves, and rings come and go with it.",
    "logs.log_end_panel": "Each rule pays for a core this big; the rest is not counted.",
    "logs.weight_panel": "More than a third of a green log is water: is the trailer made for it?",
    "logs.oval_end_panel": "Turn the stick until it reads the least and the most.",
    "logs.own_log_panel": "My log's end, and what three rules make of it.",
    "sawing.patterns_panel": "Three ways to open one log, and the boards each gives.",
    "sawing.dried_panel": "The same boards after drying: which shrink, cup and split.",
    "sawing.kerf_panel": "A thick blade turns boards to sawdust.",
    "sawing.first_cut_panel": "Where the first cut lies decides on the boards.",
    "sawing.rules_panel": "A scale ticket is not what the mill gives: small logs most.",
    "sawing.sheet_panel": "What the blade is set to, pass by pass.",
    "sawing.unknown_mill_panel": "The blade sinks by more than the board: how thick is the kerf?",
    "shrinkage.board_panel": "The green board as a ghost; the dry one smaller, and cupped.",
    "shrinkage.target_panel": "Saw this thick, or so many in 100 come out too thin.",
    "shrinkage.block_panel": "The block shrinks between the jaws, and not before it is down to some 30 %.",
    "moisture.board_panel": "So much of what the scale shows is water, in walls and cavities.",
    "moisture.oven_panel": "From the wrong place or too short in the oven: the test tells a wrong number.",
    "moisture.sample_panel": "One board's weight today tells its moisture; the weights to wait for.",
    "moisture.unknown_board_panel": "A section, wet and dried: what was the board's moisture?",
    "air.air_and_wood_panel": "Air as full as this lets wood rest here; the board gives or takes.",
    "air.emc_panel": "Humidity decides where wood rests; heat hardly.",
    "air.year_panel": "Outdoors never dry enough for furniture; in the house in winter.",
    "air.shed_today_panel": "Is the shed today drier than outdoors, and dry enough?",
    "air.shed_block_panel": "A block on a scale gains until it is at rest: what is the air?",
    "stack.side_panel": "Stickers in line over bolsters: the boards stay straight.",
    "stack.spacing_panel": "Out of line costs more than far apart.",
    "stack.end_panel": "How wide, high and heavy the stack will be.",
    "stack.first_weeks_panel": "The first weeks: too fast, it checks; too slow, it stains.",
    "stack.helps_panel": "Which of the things that can be done helps most against checks.",
    "stack.warp_panel": "A free board bends this far; stickers and weights hold it.",
    "stack.plumb_panel": "Hang a line: which sticker is out of plumb?",
    "stack.own_panel": "My stack: where the stickers go.",
    "drying.curve_panel": "It is down to 20 % about then, four in five between these dates.",
    "drying.my_stack_panel": "My stack is down to 20 % about then.",
    "drying.starts_panel": "Which month to stack in: when it is dry, what spoils it.",
    "drying.side_by_side_panel": "Twice as thick takes far longer than twice the time.",
    "drying.stack_to_save_panel": "Close the stack until it loses no more than is safe.",
    "records.learning_panel": "Each weighing narrows the date.",
    "records.worth_panel": "A few weighings narrow it most; the meter less.",
    "records.unknown_stack_panel": "Which pace runs through the weighings?",
    "records.own_stack_panel": "My readings, and the date they lead to.",
    "records.own_sample_boards_panel": "Where in my stack each sample board lies, and how wet it is.",
    "kiln.three_ways_panel": "House, sun or machine: which is down to 8 % first.",
    "kiln.house_panel": "In the house it is ready this late, and how fast it dries meanwhile.",
    "kiln.solar_weeks_panel": "In the sun it is ready then; too much glass dries too fast.",
    "kiln.solar_day_panel": "Hot and dry by day, damp at night: the wood rests at night.",
    "kiln.inside_panel": "The fans drive hot air through the load; at night it stands.",
    "kiln.dehumidifier_panel": "The machine is done then, if it does not run too warm.",
    "kiln.prongs_panel": "What the prongs do tells of the stress.",
    "kiln.sample_board_panel": "The board on its scale, morning by morning.",
    "own_kiln.design_panel": "My kiln is done by then, with glass that its charge can bear.",
    "movement.log_panel": "Where in the log a board lay tells how it warps.",
    "movement.year_panel": "The top is this much wider in late summer than in late winter.",
    "movement.groove_panel": "The panel needs this much room in its groove.",
    "movement.gauge_panel": "A board that shows the month by its width.",
    "movement.own_panel": "My top through the year.",
    "plan.calendar_panel": "On sticks from then, in the room until then, on the bench at last.",
    "plan.cost_panel": "Where hours and dollars go.",
    "plan.unknown_month_panel": "Which month's curve runs through the weighings?",
    "maps.rests_map_panel": "Where wood outdoors rests: dry in the desert, damp by the sea.",
    "maps.stacks_map_panel": "How long a stack takes, place by place.",
    "maps.houses_map_panel": "Where a heated house is dry enough for furniture wood.",
}

# Machado G. M., Oliveira M. M., Fernandes L. A. F. 2009, A physiologically-based model for simulation of color vision
# deficiency, IEEE Trans. Vis. Comput. Graph. 15(6), severity 1.0; from memory
BLIND = {
    "deuteranopia": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "protanopia": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "tritanopia": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}  # fmt: skip
_STYLE = """body{font:16px sans-serif;margin:16px;color:#1b1b1b}section{border-top:2px solid #1b1b1b;padding:8px 0}
div{display:flex;flex-wrap:wrap;gap:12px;align-items:flex-start}figure{margin:0}figcaption{font-size:13px}img{display:block}
.gray{filter:grayscale(1)}"""


def settings(panel, name):
    """How a panel starts, and two corners of its dials: all at their low ends, all at their high ones."""
    start = {dial: widget.value for dial, widget in panel.dials.items()} | FIRST.get(name, {})
    low, high = ({dial: ends(w)[k] for dial, w in panel.dials.items()} for k in (0, 1))
    return {"start": start, "low": low, "high": high}


def drawings(name):
    """Where the dials stand, the SVG there, and its sentence; but for a setting that is refused in words."""
    panel = made(name)
    for where, setting in settings(panel, name).items():
        try:
            figure, sentence, *_ = panel.draw(**setting)
        except ValueError:
            continue
        yield where, to_svg(figure), sentence


def _figure(file, words, width, look=""):
    picture = f'<img src="{file}" style="width:{width}" class="{look}" alt="">'
    return f"<figure>{picture}<figcaption>{words}</figcaption></figure>"


def write(folder):
    """Write the page and its pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    filters = "".join(
        f'<filter id="{name}" color-interpolation-filters="linearRGB"><feColorMatrix type="matrix" values="'
        + " ".join(" ".join(f"{v}" for v in row) + " 0 0" for row in rows)
        + ' 0 0 0 1 0"/></filter>'
        for name, rows in BLIND.items()
    )
    looks = "".join(f".{name}{{filter:url(#{name})}}" for name in BLIND)
    out = [f"<!doctype html><meta charset=utf-8><title>All panels</title><style>{_STYLE}{looks}</style>"]
    out.append(f'<svg width="0" height="0" style="position:absolute">{filters}</svg>')
    for name in MAKERS:
        files, told = {}, ""
        for where, svg, sentence in drawings(name):
            files[where] = f"{name}-{where}.svg"
            (folder / files[where]).write_text(svg)
            told = told or sentence
        start = next(iter(files.values()))
        shown = [_figure(start, "start, as in a window of 1280 px", "800px")]
        shown += [_figure(file, f"{where}, on a phone of 390 px", "390px") for where, file in files.items()]
        shown += [_figure(start, look, "390px", look) for look in ("gray", *BLIND)]
        shown.append(_figure(start, "a quarter", "200px"))
        out.append(f"<section><b>{name}</b>: {html.escape(PURPOSE[name])}<p>{html.escape(told)}</p>")
        out.append(f"<div>{''.join(shown)}</div></section>")
    (folder / "index.html").write_text("".join(out))


if __name__ == "__main__":
    warnings.simplefilter("ignore")  # what a setting is warned of is not looked at here
    target = Path(sys.argv[1] if len(sys.argv) > 1 else "build/pictures")
    with tempfile.TemporaryDirectory() as my_wood:
        os.environ[choices.VARIABLE] = my_wood
        write(target)
    print(f"{len(MAKERS)} panels: {target / 'index.html'}")
