"""What the widgets leave out for people who work by keyboard or by ear: names of controls, and keys of their own."""

import anywidget
import traitlets


class ControlNames(anywidget.AnyWidget):
    """An invisible part of a panel: ties labels and questions to controls, and keeps their keys from the notebook."""

    _esm = """
    function name(root) {
      // else an arrow key on a list walks to the next cell, and a letter may insert or cut one
      for (const control of root.querySelectorAll('select, [role=slider], input[type=checkbox]'))
        control.dataset.lmSuppressShortcuts = 'true';
      for (const dial of root.querySelectorAll('.woodcalc-dial')) {
        const text = dial.querySelector('.woodcalc-name')?.textContent;
        if (!text) continue;
        for (const control of dial.querySelectorAll('[role=slider], input, select, textarea'))
          if (control.getAttribute('aria-label') !== text) control.setAttribute('aria-label', text);
      }
      const asked = root.querySelector('.woodcalc-ask')?.parentElement;  // the question belongs to its field
      if (!asked) return;
      asked.id ||= `woodcalc-asked-${Math.random().toString(36).slice(2)}`;
      for (const field of root.querySelectorAll('input[type=text]'))
        if (field.closest('.woodcalc') === asked.closest('.woodcalc')) field.setAttribute('aria-describedby', asked.id);
    }
    function start(root) {
      // running a lesson leaves the reader at its last cell: the first run leads back to where the lesson begins
      const page = root.closest('.jp-WindowedPanel-outer');
      if (!page || page.dataset.woodcalcBegun) return;
      page.dataset.woodcalcBegun = 'true';
      page.scrollTo(0, 0);
    }
    function render({ el }) {
      el.style.display = 'none';
      let watch;
      const wait = setInterval(() => {
        const root = el.closest('.woodcalc');
        if (!root) return;
        clearInterval(wait);
        start(root);
        name(root);
        watch = new MutationObserver(() => name(root));  // controls that come later get their names too
        watch.observe(root, { childList: true, subtree: true });
      }, 50);
      return () => { clearInterval(wait); watch?.disconnect(); };
    }
    export default { render };
    """
    _ = traitlets.Unicode("").tag(sync=True)
