"""One look for panels, answer boxes and forms, and a saved page that reads before the lesson runs."""

from __future__ import annotations

import html
import re
import weakref
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import Any

import ipywidgets as w
from markupsafe import Markup

from woodcalc.disk import in_words
from woodcalc.lesson import reruns
from woodcalc.lesson.names import ControlNames
from woodcalc.records.choices import keep as keep_choices
from woodcalc.records.choices import kept_choices

reruns.watch()

# The widgets' own sizes follow a few names of theirs; everything else is a part of the type of its box. How a box is
# laid out goes by its own width, not the window's. The style comes with the live boxes: what is marked
# `woodcalc-still` is read before a lesson has run, and not after.
STYLE = """<style>
.woodcalc {--jp-widgets-font-size: 15px; --good: #009e73; --warn: #d55e00; --mark: #0072b2;
  container: woodcalc / inline-size; max-width: 1180px; font-size: var(--jp-widgets-font-size); color: #1b1b1b;}
.woodcalc-big {--jp-widgets-font-size: 20px; --jp-widgets-inline-height: 38px; --jp-widgets-slider-handle-size: 24px;
  max-width: 1500px;}
.woodcalc-title {font-size: 1.15em; font-weight: 700; margin: 2px 0 6px;}
.woodcalc-note {line-height: 1.4; max-width: 53em; margin: 4px 0;}
.woodcalc-warn {border-left: 6px solid var(--warn); background: #fdf1e7; padding: 6px 10px;}
.woodcalc-good {border-left: 6px solid var(--good); background: #eaf6f2; padding: 6px 10px;}
.woodcalc-ask, .woodcalc-sure {border-left: 6px solid var(--mark); padding: 2px 12px;}
.woodcalc :is(.woodcalc-name, .widget-checkbox, .widget-checkbox label) {white-space: normal; height: auto;
  line-height: 1.3;}
.woodcalc-map .woodcalc-right img {cursor: crosshair;}
.woodcalc .woodcalc-dial, .woodcalc-dial > * {max-width: 100%;}
.woodcalc .widget-hbox.woodcalc-dial, .woodcalc-form > .widget-hbox {flex-wrap: wrap;}
.woodcalc-form .woodcalc-dial {margin: 0 16px 6px 0;}
.woodcalc-big .woodcalc-dial > :is(.widget-text, .widget-combobox, .widget-dropdown)
  {min-width: min(calc(14 * var(--jp-widgets-font-size)), 100cqi - 24px);}
.woodcalc-big .woodcalc-dial > .widget-hbox > .widget-text {min-width: calc(5 * var(--jp-widgets-font-size));}
.woodcalc-big .woodcalc-beside > .woodcalc-left {flex-basis: 320px !important;}
.woodcalc-beside .widget-html img {width: 100%; max-width: 800px !important;}
.woodcalc-big .woodcalc-beside .widget-html img {max-width: 100% !important;}
.woodcalc table {border-collapse: collapse; font-size: .95em; margin: 4px 0; display: block; width: fit-content;
  max-width: 100%; overflow-x: auto;}
.woodcalc td, .woodcalc th {border-bottom: 1px solid #ddd; padding: 4px 12px 4px 0; text-align: right;}
.woodcalc td:first-child, .woodcalc th:first-child {text-align: left;}
.woodcalc a {color: #0b4f9e; text-decoration: underline;}
.woodcalc-upload.jupyter-button {font-size: 0;}
.woodcalc-upload::before {content: "Restore from a backup file"; font-size: var(--jp-widgets-font-size);}
.woodcalc :is(.widget-html, .widget-html-content) {min-width: 0; max-width: 100%;}
.woodcalc .widget-html-content {flex: 1 1 auto; line-height: 1.4;}
.woodcalc.woodcalc-form :is(td, th) {padding-right: 8px; vertical-align: top; line-height: 1.3;}
.woodcalc-form td:nth-child(2) {white-space: nowrap;}
.woodcalc-still {display: none;}
.jp-Placeholder, .jp-Placeholder :is(.jp-Placeholder-content, .jp-Placeholder-contentContainer) {min-width: 0;}
.jp-Notebook .jp-OutputArea-output pre {word-break: normal; overflow-wrap: anywhere;}
@container woodcalc (max-width: 740px) {
  .woodcalc > * {--jp-widgets-font-size: 16px; --jp-widgets-inline-height: 40px; --jp-widgets-slider-handle-size: 26px;}
  .woodcalc-big > * {--jp-widgets-font-size: 20px;}
  .woodcalc .noUi-touch-area {position: absolute; inset: -8px; width: auto; height: auto;}
  .woodcalc .jupyter-button {min-height: 40px;}
  .woodcalc .widget-checkbox label {display: flex; min-height: 40px; align-items: center;}
  .woodcalc .widget-checkbox input {flex: none; width: 22px; height: 22px;}
  .woodcalc summary {padding: 9px 0;}
  .woodcalc-beside {flex-flow: row wrap !important; grid-gap: 0 24px !important;}
  .woodcalc-beside > * {display: contents;}
  .woodcalc-left > * {flex: 1 1 280px;}
  .woodcalc-right > * {flex: 1 1 100%; order: 1;}
  .woodcalc-right > :first-child {order: -1; background: #fff; padding-bottom: 4px;}
  .woodcalc-beside .widget-html img {max-width: 100% !important;}
  .woodcalc table {background-repeat: no-repeat; background-image:
    linear-gradient(90deg, #fff 40%, #fff0), linear-gradient(270deg, #fff 40%, #fff0),
    linear-gradient(90deg, #0006, #0000), linear-gradient(270deg, #0006, #0000);
    background-position: left, right, left, right; background-size: 40px 100%, 40px 100%, 12px 100%, 12px 100%;
    background-attachment: local, local, scroll, scroll;}
  .woodcalc tr:has(> :nth-child(4)) > :is(td, th):first-child:not([data-name]) {position: sticky; left: 0; z-index: 1;
    background: #fff; max-width: 40cqi;}}
@media (max-width: 780px) and (min-height: 600px) {
  .woodcalc-panel .woodcalc-right > :first-child {position: sticky; top: 0; z-index: 2;}
  .woodcalc-panel .woodcalc-beside .widget-html img {width: auto; max-height: 50vh;}}
@media (max-width: 780px) {
  :is(.jp-OutputArea-output, .jp-OutputArea-child, .jp-Cell-outputArea):has(> .woodcalc-panel, > * > .woodcalc-panel,
    > * > * > .woodcalc-panel), .woodcalc-panel, .woodcalc-panel > .woodcalc-beside {overflow: visible !important;}}
@container woodcalc (max-width: 520px) {
  .woodcalc > * {overflow-wrap: break-word;}}
@container woodcalc (max-width: 760px) {
  .woodcalc tr:has(td[data-name]) {display: flex; flex-wrap: wrap; gap: 0 12px; border-bottom: 1px solid #888;
    padding: 3px 0;}
  .woodcalc tr:has(td[data-name]) :is(td, th) {border-bottom: 0; padding: 1px 0; text-align: left !important;}
  .woodcalc tr > :is(td, th)[data-name]:first-child {font-weight: 700;}
  .woodcalc td[data-name]::before {content: attr(data-name) " "; color: #595959; font-weight: 400;}
  .woodcalc tr:has(td[data-name]) :is(td:empty, td[data-name=""]::before) {display: none;}
  .woodcalc tr:not(:has([data-name])):has(th):has(~ tr td[data-name]),
  .woodcalc thead:has(+ tbody td[data-name]) {display: none;}}
.woodcalc-told p, .woodcalc-told ul {margin: 4px 0;}
.woodcalc-told h4 {font-size: 1.1em; margin: 14px 0 2px;}
.woodcalc .jupyter-button {white-space: normal; height: auto; padding: 4px 10px; line-height: 1.35; max-width: 100%;}
.woodcalc .widget-hslider {min-width: 110px;}
.woodcalc-form .woodcalc-dial > :is(.widget-text, .widget-combobox, .widget-dropdown) {margin-left: 0; margin-right: 0;}
.woodcalc .widget-hbox > .jupyter-button {align-self: flex-end;}
.woodcalc.woodcalc.woodcalc :focus-visible {outline: 3px solid var(--mark) !important; outline-offset: 2px;}
.woodcalc .jupyter-widgets-disconnected::before, .woodcalc.jupyter-widgets-disconnected::before {content: none;}
</style>"""


def button(text: str) -> w.Button:
    """Return a button as wide as its words.

    Examples
    --------
    >>> button("Check and save").layout.width
    'auto'
    """
    return w.Button(description=text, layout=w.Layout(width="auto", align_self="flex-start"))


def labelled(text: str, field: w.Widget) -> w.VBox:
    """Return a row of a panel or form: a field under its label.

    Examples
    --------
    >>> labelled("Place", w.Text()).children[0].value
    'Place'
    """
    label = w.Label(text)
    label.add_class("woodcalc-name")
    row = w.VBox([label, field])
    row.add_class("woodcalc-dial")
    return row


def beside(left: Sequence[w.Widget], right: Sequence[w.Widget], left_px: int) -> w.HBox:
    """Return two columns; where there is no room for both, as on a phone, the first on the right stands above the left.

    Examples
    --------
    >>> len(beside([w.Text()], [w.HTML(), w.HTML()], 270).children[1].children)
    2
    """
    columns = (
        w.VBox(left, layout=w.Layout(flex=f"0 1 {left_px}px")),
        w.VBox(right, layout=w.Layout(flex="1 1 0", min_width="min(320px, 100%)")),
    )
    for column, side in zip(columns, ("left", "right"), strict=True):
        column.add_class(f"woodcalc-{side}")
    both = w.HBox(columns, layout=w.Layout(grid_gap="16px"))
    both.add_class("woodcalc-beside")
    return both


def note(text: str, kind: str = "") -> str:
    """Return the HTML of something said, line by line; `kind` is ``"warn"`` or ``"good"`` for the bar beside it.

    Of `Markup` the tags stay; all other text is shown as it is written.

    Examples
    --------
    >>> note("Saved.")
    '<div class="woodcalc-note" role="status">Saved.</div>'
    >>> note("")
    ''
    """
    look = f"woodcalc-note woodcalc-{kind}" if kind else "woodcalc-note"
    return f'<div class="{look}" role="status">{_lines(text)}</div>' if text else ""


def _lines(text):
    return "<br>".join(line if isinstance(line, Markup) else html.escape(line) for line in text.split("\n"))


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], caption: str = "", named: bool = False) -> str:
    """Return an HTML table; cells are texts, the first of each row is its name.

    With `named` each cell carries its head: in a form as narrow as a phone its rows wrap, and the heads stand in them.

    Examples
    --------
    >>> table(["log", "bf"], [["1", "75"]])
    '<table><tr><th>log</th><th>bf</th></tr><tr><td>1</td><td>75</td></tr></table>'
    """
    head = "".join(f"<th>{html.escape(h)}</th>" if h else "<td></td>" for h in heads)
    marks = [f' data-name="{html.escape(h)}"' if named else "" for h in heads]

    def cells(row):
        return "".join(f"<td{m}>{html.escape(c)}</td>" for m, c in zip(marks, row, strict=True))

    body = "".join(f"<tr>{cells(row)}</tr>" for row in rows)
    above = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    return f"<table>{above}<tr>{head}</tr>{body}</table>"


_PRINT_TIMES, _NARROW = 1.3, 760  # larger print is so much larger; under so many px a page's rows are cards


def framed(page: str, title: str, height_px: int, big: bool = False) -> str:
    """Return a frame that shows a page as it prints, by its own width and in the print of the lesson.

    Parameters
    ----------
    page : str
        A whole HTML page.
    title : str
        What the frame is called for who hears it.
    height_px : int
    big : bool
        In larger print.

    Examples
    --------
    >>> framed("<html></html>", "The plan, as it prints", 640)[:51]
    '<iframe title="The plan, as it prints" srcdoc="&lt;'
    """
    widest = 860
    if big:  # what is enlarged has less room: it is laid out as in a narrower window
        larger_by = f"<style>@media screen {{ body {{ zoom: {_PRINT_TIMES}; }} }}</style></head>"
        page = page.replace(f"(max-width: {_NARROW}px)", f"(max-width: {_PRINT_TIMES * _NARROW:.0f}px)")
        page, widest = page.replace("</head>", larger_by, 1), round(widest * _PRINT_TIMES)
    return (
        f'<iframe title="{html.escape(title)}" srcdoc="{html.escape(page, quote=True)}" style="display:block;'
        f"box-sizing:border-box;width:100%;max-width:{widest}px;height:{height_px}px;border:1px solid #6b6b6b;"
        'background:#fff"></iframe>'
    )


def unset(told: str) -> str:
    """Return HTML whose dollar signs stay dollar signs: between two of them JupyterLab would set a formula.

    Examples
    --------
    >>> unset("<p>$6 or $13</p>")
    '<div class="mathjax_ignore"><p>$6 or $13</p></div>'
    """
    return f'<div class="mathjax_ignore">{told}</div>'


def plain(told: str) -> str:
    """Return HTML as plain text, a line for each row or paragraph.

    Examples
    --------
    >>> plain("<table><tr><th>log</th><th>bf</th></tr><tr><td>1</td><td>75</td></tr></table>")
    'log  bf\\n1  75'
    """
    text = re.sub(r"</t[hd]><t[hd][^>]*>", "  ", told)
    text = re.sub(r"</?(?:tr|p|li|div|caption|ul|ol|br)\b[^>]*>", "\n", text)
    text = html.unescape(re.sub(r"<[^>]+>", "", text))
    return "\n".join(line.strip() for line in text.split("\n") if line.strip())


class Box(w.VBox):
    """Widgets in the look of the lessons; before the lesson runs, a reader sees `still` in their place.

    Parameters
    ----------
    children : list of Widget
    kind : str
        What it is, for a reader without pictures: ``"answer box"``.
    title : str
        One line above, if any.
    """

    children: Any  # a trait of ipywidgets

    def __init__(self, children: Sequence[w.Widget], kind: str, title: str = "") -> None:
        heading = f'<div class="woodcalc-title">{html.escape(title)}</div>' if title else ""
        super().__init__([w.HTML(STYLE + heading), *children, ControlNames()])
        self.add_class("woodcalc")
        self.big = False
        _BOXES.add(self)
        if kept_choices().larger_print:
            self.enlarge(True)
        self._kind = kind
        self._above: Any = None  # the HTML under the title

    def close(self) -> None:
        """Take the box off the page; nothing is drawn in it any more."""
        _BOXES.discard(self)
        super().close()

    def enlarge(self, on: bool) -> None:
        """Show the box in larger print, or no longer."""
        self.big = on
        (self.add_class if on else self.remove_class)("woodcalc-big")

    def tell_above(self, told: str) -> None:
        """Show this HTML under the title: whose wood the box is about, for instance."""
        if self._above is None:
            self._above = w.HTML()
            self.children = (self.children[0], self._above, *self.children[1:])
        self._above.value = told

    @property
    def above(self) -> str:
        """The HTML under the title."""
        return self._above.value if self._above else ""

    def still(self) -> str:
        """The HTML that a saved page shows."""
        raise NotImplementedError

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        data, *metadata = bundle if isinstance(bundle, tuple) else (bundle,)
        data = dict(data) | {"text/plain": self._kind, "text/html": unset(self.still())}
        return (data, *metadata) if metadata else data


_BOXES: weakref.WeakSet[Box] = weakref.WeakSet()


def larger(on: bool) -> None:
    """Show every box of this lesson in larger print, or no longer, and keep the choice for the other lessons.

    Raises
    ------
    SaveError
        The choice could not be kept; the boxes are enlarged all the same.

    Examples
    --------
    >>> box = Box([], "box")
    >>> larger(True)
    >>> box.big
    True
    >>> larger(False)
    """
    for box in list(_BOXES):
        if box.big != on:
            box.enlarge(on)
    keep_choices(larger_print=on)


NOT_LOST = "What you typed is still in the form."


class Ask(w.VBox):
    """A question in the place where it comes up, with a button for yes and one for no; hidden until `ask`."""

    def __init__(self) -> None:
        self._text = w.HTML()
        self.yes, self.no = (w.Button(layout=w.Layout(width="auto")) for _ in range(2))
        super().__init__([self._text, w.HBox([self.yes, self.no], layout=w.Layout(flex_flow="row wrap"))])
        self.yes.on_click(lambda _: self._answered(True))
        self.no.on_click(lambda _: self._answered(False))
        self.layout.display = "none"
        self._do: Callable[[], Any] | None = None
        self._or: Callable[[], Any] | None = None

    @property
    def asked(self) -> str:
        """What is asked right now, as plain text; "" if nothing is."""
        return plain(self._text.value)

    def ask(
        self,
        text: str,
        yes: str,
        no: str,
        do: Callable[[], Any],
        otherwise: Callable[[], Any] | None = None,
    ) -> None:
        """Ask `text` (lines of plain text); `do` is called on yes, `otherwise` on no."""
        self._text.value = f'<div class="woodcalc-note woodcalc-sure" role="alert">{_lines(text)}</div>'
        self.yes.description, self.no.description = yes, no
        self._do, self._or = do, otherwise
        self.layout.display = "flex"
        self.no.focus()  # the answer that changes nothing

    def hide(self) -> None:
        """Take the question back."""
        self.layout.display, self._text.value, self._do, self._or = "none", "", None, None

    def _answered(self, yes):
        do = self._do if yes else self._or
        self.hide()
        if do:
            do()


def _labelled_fields(part):
    """The fields below a widget that stand under a label, with it."""
    children: tuple[w.Widget, ...] = tuple(getattr(part, "children", ()))
    if len(children) == 2 and isinstance(children[0], w.Label):
        yield children[0].value, children[1]
    for child in children:
        yield from _labelled_fields(child)


class Form(Box):
    """A box of fields with one line, `said`, that tells how it went."""

    question: Ask
    not_lost = NOT_LOST  # said after what went wrong; a box that looks things up has nothing to lose

    def __init__(self, above: Sequence[w.Widget], below: Sequence[w.Widget], kind: str, title: str) -> None:
        self.say_line = w.HTML()
        super().__init__([*above, self.say_line, *below], kind, title)
        self.add_class("woodcalc-form")
        self.children[-1].when_pressed = self.take

    def take(self, shown: dict[str, str]) -> None:
        """Take what the page shows in its text fields, by their labels: it comes with the press of a button."""
        for label, field in _labelled_fields(self):
            if (
                isinstance(field, w.Text)
                and isinstance(text := shown.get(label), str)
                and field.value != text
            ):
                field.value = text

    @property
    def said(self) -> str:
        """What the form said last, as plain text."""
        return plain(self.say_line.value)

    def safely(self, do: Callable[[], Any]) -> None:
        """Do it; what goes wrong in a button's work would end in a log that nobody reads, so it is said here."""
        try:
            do()
        except Exception as error:
            self.tell(f"{in_words(error)}\n{self.not_lost}".strip(), "warn")

    def ask_first(self, asked: Sequence[str], yes: str, no: str, *do: Callable[[], Any]) -> None:
        """Ask before anything is saved, in a form that has a `question`; `do` is for yes, and for no."""
        self.tell("Not saved yet. Look at the question.", "warn")
        self.question.ask("\n".join(asked), yes, no, *(partial(self.safely, each) for each in do))

    def tell(self, text: str, kind: str = "") -> None:
        """Say it under the fields; `kind` is ``"warn"`` or ``"good"`` for the colour of the bar beside it."""
        self.say_line.value = note(text, kind)


class Shown:
    """HTML in the look of the lessons, for tables and sentences that need no dials."""

    def __init__(self, inside: str) -> None:
        self.inside = inside

    def _repr_html_(self):
        big = " woodcalc-big" if kept_choices().larger_print else ""
        return unset(f'<div class="woodcalc{big}">{self.inside}</div>')

    def __repr__(self):
        return plain(self.inside)
