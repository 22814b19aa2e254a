"""Give every slider the spoken name of its label, which the slider widget itself leaves out."""

import anywidget
import traitlets


class ControlNames(anywidget.AnyWidget):
    """An invisible part of a panel that ties each label to its slider, number box and list for screen readers."""

    _esm = """
    function name(root) {
      for (const dial of root.querySelectorAll('.woodcalc-dial')) {
        const text = dial.querySelector('.woodcalc-name')?.textContent;
        if (!text) continue;
        for (const control of dial.querySelectorAll('[role=slider], input, select, textarea'))
          if (control.getAttribute('aria-label') !== text) control.setAttribute('aria-label', text);
      }
    }
    function render({ el }) {
      el.style.display = 'none';
      const root = () => el.closest('.woodcalc');
      let tries = 0;
      const wait = setInterval(() => {
        const box = root();
        if (box) name(box);
        if ((box && tries > 20) || tries > 100) clearInterval(wait);
        tries += 1;
      }, 100);
      return () => clearInterval(wait);
    }
    export default { render };
    """
    _ = traitlets.Unicode("").tag(sync=True)
