// The book's part of JupyterLab's page, in the form in which it loads one. JupyterLab has no setting for either thing.
const NARROW = 700;  // pixels

// In a narrow window the lists at the sides leave no room for a lesson: they fold when a lesson is opened, and open by
// hand as ever.
function foldLists({ restored, shell }) {
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

// What the button "Run this lesson" does. JupyterLab's own command, given before the engine is there, empties every output
// and runs nothing. So the button waits for the engine, runs the lesson once however often it is pressed, and a line at the
// foot of the page says how far it is.
const RUN = 'woodcalc:run-lesson', RUN_ALL = 'notebook:run-all-cells';
const STARTING = 'Getting ready to run this lesson', WORKING = 'The lesson is still working';
const SLOW = 'Still getting ready to run this lesson: this computer is busy, or slow to start';
const CUT = 'This page can\u2019t reach its engine. Is the window still open that the book was started from? Waiting for it';
const NOTHING = 'Nothing has run yet. Press Run this lesson once more';
const ENDED = ['dead', 'restarting', 'autorestarting', 'terminating'];
const sleep = ms => new Promise(done => setTimeout(done, ms));

function tell(page, text, more = '') {
  let line = page.node.querySelector(':scope > .woodcalc-work');
  if (!text) { line?.remove(); return; }
  if (!line) {
    line = document.createElement('div');
    line.className = 'woodcalc-work';
    line.setAttribute('role', 'status');
    line.style.cssText = 'position:absolute; bottom:0; left:0; right:0; z-index:20; padding:6px 14px; background:#fff8e1; ' +
      'border-top:3px solid #0072b2; color:#1b1b1b; font-size:15px; pointer-events:none;';
    line.append(document.createElement('span'), document.createElement('span'));
    line.lastChild.setAttribute('aria-hidden', 'true');  // a count that is read out with every step is a nuisance
    page.node.append(line);
  }
  const [said, count] = line.children;
  if (said.textContent !== text) said.textContent = text;
  if (count.textContent !== more) count.textContent = more;
}

async function engineOf(page) {
  const began = performance.now(), session = page.sessionContext;
  for (;;) {
    if (page.isDisposed) return null;
    const kernel = session.session?.kernel;
    if (kernel?.connectionStatus === 'connected' && !ENDED.includes(kernel.status)) return kernel;
    const waited = performance.now() - began;
    if (waited > 500) tell(page, waited < 15000 ? STARTING : kernel ? CUT : SLOW, ' ...');
    if (session.isReady && session.hasNoKernel) {
      if (await session.startKernel()) return null;  // there is none to start: JupyterLab asks which
    } else if (kernel?.status === 'dead') await session.restartKernel();
    else await sleep(100);
  }
}

async function runOnce(app, page) {
  await page.context?.ready;
  const kernel = await engineOf(page);
  if (page.isDisposed) return true;
  app.shell.activateById(page.id);
  const cells = page.content.widgets.filter(cell => cell.model.type === 'code');
  const left = () => cells.filter(cell => !cell.isDisposed && cell.model.executionState === 'running').length;
  let ended = false, ran = false;
  app.commands.execute(RUN_ALL).catch(() => { }).then(() => { ended = true; });
  const began = performance.now();
  while (!page.isDisposed) {
    const waiting = left();
    ran ||= waiting > 0;
    if (ended && !waiting) break;
    if (kernel && (kernel.isDisposed || ENDED.includes(kernel.status))) return true;  // the boxes say what happened
    if (performance.now() - began > 1500) tell(page, WORKING, `: step ${cells.length - waiting + 1} of ${cells.length}.`);
    await sleep(ran ? 200 : 20);
  }
  return ran || !cells.some(cell => cell.model.sharedModel.getSource().trim());
}

function runLesson(app) {
  const atWork = new WeakSet();
  const run = async () => {
    const page = app.shell.currentWidget;
    if (!page?.sessionContext || !page.content?.widgets || atWork.has(page)) return;
    atWork.add(page);
    try {
      const done = await runOnce(app, page) || await runOnce(app, page);
      if (!page.isDisposed) tell(page, done ? '' : NOTHING, '.');
    } catch (error) {
      if (!page.isDisposed) tell(page, NOTHING, '.');
      throw error;
    } finally { atWork.delete(page); }
  };
  app.commands.addCommand(RUN, { label: 'Run this lesson', execute: run });
}

function activate(app) {
  foldLists(app);
  runLesson(app);
}

const page = { id: 'woodcalc:page', autoStart: true, activate };
(window._JUPYTERLAB ||= {}).woodcalc = { init() {}, get: async () => () => ({ __esModule: true, default: page }) };
