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
      // Running a lesson leaves the reader at its last cell: the first run leads back to where the lesson begins, and
      // holds there till all has run and settled, or the reader takes over.
      const page = root.closest('.jp-WindowedPanel-outer'), book = root.closest('.jp-NotebookPanel');
      if (!page || page.dataset.woodcalcBegun) return;
      page.dataset.woodcalcBegun = 'true';
      let left = 100, quiet = 0;  // twentieths of a second
      const hold = setInterval(() => {
        const status = book?.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status;
        quiet = status === 'busy' ? 0 : quiet + 1;
        if (left-- < 0 || quiet > 10) clearInterval(hold);
        if (page.scrollTop) page.scrollTo(0, 0);
      }, 50);
      for (const touch of ['wheel', 'pointerdown', 'touchstart', 'keydown'])
        window.addEventListener(touch, () => clearInterval(hold), { once: true, capture: true });
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
