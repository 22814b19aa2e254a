// In a narrow window the lists at the sides leave no room for a lesson: they fold when a lesson is opened, and open by
// hand as ever. JupyterLab has no setting for it, so this is a part of its page, in the form in which it loads one.
const NARROW = 700;  // pixels

function activate({ restored, shell }) {
  const fold = () => {
    if (window.innerWidth >= NARROW) return;
    shell.collapseLeft?.();
    shell.collapseRight?.();
  };
  restored?.then(() => {
    fold();
    shell.currentChanged?.connect((_, change) => { if (change.newValue) fold(); });
  });
}

const narrow = { id: 'woodcalc:narrow', autoStart: true, activate };
(window._JUPYTERLAB ||= {}).woodcalc = { init() {}, get: async () => () => ({ __esModule: true, default: narrow }) };
