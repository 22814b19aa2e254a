// The book's part of JupyterLab's page, in the form in which it loads one: what JupyterLab has no setting for.
const NARROW = 760;  // pixels

// The lists at the sides start shut, and open by hand as ever. In a narrow window they leave no room for a lesson: there
// they fold whenever one is opened, and so do the strips of signs that they hang on (the menu View has them all).
function foldLists({ restored, shell }) {
  const fold = () => { shell.collapseLeft?.(); shell.collapseRight?.(); };
  const strip = (side, wanted) => {
    if (shell.isSideTabBarVisible && shell.isSideTabBarVisible(side) !== wanted) shell.toggleSideTabBarVisibility(side);
  };
  restored?.then(() => {
    let first = true;
    const opened = () => {
      if (first || window.innerWidth < NARROW) fold();
      first = false;
    };
    if (shell.currentWidget) opened(); else fold();
    shell.currentChanged?.connect((_, change) => { if (change.newValue) opened(); });
    for (const ms of [0, 500, 2000]) setTimeout(() => {  // they may come late
      strip('right', false);  // it holds tools for programmers
      if (window.innerWidth < NARROW) strip('left', false);
    }, ms);
  });
}

// The bar above a lesson. JupyterLab shows the engine's state as a circle; here it stands in words.
const LOOK = `
.jp-NotebookPanel-toolbar {--jp-private-toolbar-height: 48px; align-items: center; background: #f5f3ef;}
.jp-NotebookPanel-toolbar jp-button[data-command^=woodcalc],
.jp-Toolbar-responsive-popup jp-button {height: 40px; min-width: 40px; font-size: 15px;}
.jp-NotebookPanel-toolbar .jp-Toolbar-item {height: auto; align-items: center;}
.jp-NotebookPanel-toolbar jp-button .jp-ToolbarButtonComponent-label {font-size: 15px; line-height: 1.2; white-space: nowrap;}
jp-button[data-command^=woodcalc]::part(control) {height: 40px; padding: 0 10px;}
jp-button[data-command="woodcalc:run-lesson"]::part(control) {background: #0063a0; border-radius: 4px; padding: 0 14px;}
jp-button[data-command="woodcalc:run-lesson"]:hover::part(control) {background: #004a7c;}
jp-button[data-command="woodcalc:run-lesson"] .jp-ToolbarButtonComponent-label {color: #fff; font-weight: 700;}
jp-button[data-command="woodcalc:larger-print"][aria-pressed=true]::part(control) {background: #fff; box-shadow: inset 0 0 0 2px #0063a0;}
.jp-NotebookPanel-toolbar :is(.jp-Notebook-ExecutionIndicator, .jp-Notebook-ExecutionIndicator:hover) {display: flex; align-items: center;
  white-space: nowrap; font-size: 15px; color: #1b1b1b; padding: 0 10px;}
.jp-Notebook-ExecutionIndicator > :not(.jp-Notebook-ExecutionIndicator-tooltip) {display: none;}
.jp-Notebook-ExecutionIndicator::before {content: "Engine: starting";}
.jp-Notebook-ExecutionIndicator[data-status=idle]::before {content: "Engine: ready";}
.jp-Notebook-ExecutionIndicator[data-status=busy]::before {content: "Engine: working";}
.jp-Notebook-ExecutionIndicator:is([data-status=dead], [data-status=terminating], [data-status=disconnected])::before
  {content: "Engine: stopped"; color: #8a2f00;}
.jp-NotebookPanel.woodcalc-big, .jp-NotebookPanel:has(.woodcalc-big) {--jp-content-font-size1: 20px; --jp-code-font-size: 17px;}
.jp-NotebookPanel:is(.woodcalc-big, :has(.woodcalc-big)) .jp-RenderedHTMLCommon table {font-size: .95em;}
.jp-NotebookPanel-toolbar .jp-DebuggerBugButton, .jp-Notebook-footer {display: none;}
.jp-NotebookPanel .jp-RenderedMarkdown table {display: block; width: fit-content; max-width: 100%; overflow-x: auto;}
.jp-NotebookPanel .jp-RenderedMarkdown summary {padding: 4px 0; cursor: pointer;}
@media (max-width: 1100px) {
  .jp-NotebookPanel {--jp-cell-prompt-width: 20px;}
  .jp-NotebookPanel :is(.jp-InputPrompt, .jp-OutputPrompt) {visibility: hidden;}
}
@media (max-width: 760px) {
  .jp-NotebookPanel {--jp-cell-prompt-width: 0px;}
  .jp-NotebookPanel .jp-Notebook {padding-left: 4px; padding-right: 4px;}
  .jp-NotebookPanel :is(.jp-InputPrompt, .jp-OutputPrompt) {display: none;}
  .jp-NotebookPanel .jp-RenderedMarkdown summary {padding: 10px 0;}
}
`;
function dress() {
  const style = document.createElement('style');
  style.textContent = LOOK;
  document.head.append(style);
}

// What the button "Run this lesson" does. JupyterLab's own command, given before the engine is there, empties every output
// and runs nothing. So the button waits for the engine, runs the lesson once however often it is pressed, and a line at the
// foot of the page says how far it is.
const RUN_ALL = 'notebook:run-all-cells';
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

const isLesson = page => !!page?.sessionContext && !!page.content?.widgets;

function runner(app) {
  const atWork = new WeakSet();
  return async () => {
    const page = app.shell.currentWidget;
    if (!isLesson(page) || atWork.has(page)) return;
    atWork.add(page);
    try {
      const done = await runOnce(app, page) || await runOnce(app, page);
      if (!page.isDisposed) tell(page, done ? '' : NOTHING, '.');
    } catch (error) {
      if (!page.isDisposed) tell(page, NOTHING, '.');
      throw error;
    } finally { atWork.delete(page); }
  };
}

// "Start over" goes to the button at the foot of the lesson, and presses it: it asks before it wipes anything.
const OVER = '.woodcalc-start-over button';
async function startOver(app, run) {
  const page = app.shell.currentWidget;
  if (!isLesson(page)) return;
  if (!page.node.querySelector(OVER)) await run();
  let button;
  for (let left = 100; left && !page.isDisposed && !(button = page.node.querySelector(OVER)); left--) {
    page.content.widgets.at(-1).node.scrollIntoView();
    await sleep(100);
  }
  if (!button) return;
  window.dispatchEvent(new Event('wheel'));  // a lesson that has just run holds its reader at its beginning
  await sleep(100);
  button.scrollIntoView({ block: 'center' });
  button.click();
}

// "Larger print" enlarges all of the page at once; the engine draws the pictures anew and keeps the choice for the other
// lessons. Before there is an engine, the browser remembers it.
const BIG = 'woodcalc-big', ENLARGE = on => `from woodcalc.lesson.box import larger\nlarger(${on ? 'True' : 'False'})`;
const isLarge = page => !!page?.node.matches(`.${BIG}, :has(.${BIG})`);
const printIsLarge = () => { try { return localStorage[BIG] === 'true'; } catch { return false; } };

async function enlarge(app, page, on) {
  page.node.classList.toggle(BIG, on);
  for (const box of page.node.querySelectorAll('.woodcalc')) box.classList.toggle(BIG, on);
  try { localStorage[BIG] = on; } catch { }  // a browser may forbid it
  app.commands.notifyCommandChanged('woodcalc:larger-print');
  const kernel = page.sessionContext.session?.kernel;
  if (!kernel) return;
  const { content } = await kernel.requestExecute({ code: ENLARGE(on), silent: true, store_history: false }).done;
  if (content.status !== 'error' || page.isDisposed) return;
  tell(page, 'This page is done, but the choice can\u2019t be kept for the next time', '.');
  setTimeout(() => tell(page, ''), 8000);
}

// The lessons beside this one, by their numbers.
const besides = new WeakMap();
async function lookBeside(app, page) {
  const path = page.context.path, folder = path.split('/').slice(0, -1).join('/');
  const { content } = await app.serviceManager.contents.get(folder);
  const all = content.map(file => file.path).filter(name => /(^|\/)\d\d-[^/]*\.ipynb$/.test(name)).sort();
  const at = all.indexOf(path);
  besides.set(page, at < 0 ? {} : { previous: all[at - 1], next: all[at + 1] });
}

// A table that is wider than its page scrolls within itself; for that the keyboard has to reach it.
function reachWideTables() {
  const look = () => {
    for (const table of document.querySelectorAll('.jp-Notebook :is(table, pre)')) {
      if (table.scrollWidth > table.clientWidth + 1 && getComputedStyle(table).overflowX === 'auto') table.tabIndex = 0;
      else if (table.tabIndex === 0) table.removeAttribute('tabindex');
    }
  };
  let wait;
  const later = () => { clearTimeout(wait); wait = setTimeout(look, 400); };
  new MutationObserver(later).observe(document.body, { childList: true, subtree: true });
  window.addEventListener('resize', later);
}

function addCommands(app) {
  const run = runner(app), here = () => app.shell.currentWidget;
  const beside = way => ({
    label: way === 'next' ? 'Next lesson' : 'Previous lesson',
    isEnabled: () => !!besides.get(here())?.[way],
    execute: () => app.commands.execute('docmanager:open', { path: besides.get(here())?.[way] }),
  });
  const all = {
    'run-lesson': { label: 'Run this lesson', caption: 'Run this lesson from top to bottom', execute: run },
    save: { label: 'Save', caption: 'Save this lesson', execute: () => app.commands.execute('docmanager:save') },  // the lab's own is an icon
    'start-over': {
      label: 'Start over', caption: 'Wipe your guess and your answers in this lesson; it asks first',
      execute: () => startOver(app, run),
    },
    'larger-print': {
      label: 'Larger print', caption: 'Larger letters and pictures, on all of the page',
      isToggled: () => isLarge(here()), execute: () => isLesson(here()) && enlarge(app, here(), !isLarge(here())),
    },
    'previous-lesson': beside('previous'),
    'next-lesson': beside('next'),
  };
  for (const [name, command] of Object.entries(all)) app.commands.addCommand(`woodcalc:${name}`, command);
  const changed = () => {
    for (const name of Object.keys(all)) app.commands.notifyCommandChanged(`woodcalc:${name}`);
  };
  const look = async page => {
    if (!isLesson(page)) return;
    if (printIsLarge()) page.node.classList.add(BIG);
    try { await page.context.ready; await lookBeside(app, page); } catch { besides.set(page, {}); }
    changed();
  };
  app.restored?.then(() => {
    look(here());
    app.shell.currentChanged?.connect((_, { newValue }) => { changed(); look(newValue); });
  });
}

function activate(app) {
  dress();
  foldLists(app);
  reachWideTables();
  addCommands(app);
}

const page = { id: 'woodcalc:page', autoStart: true, activate };
(window._JUPYTERLAB ||= {}).woodcalc = { init() {}, get: async () => () => ({ __esModule: true, default: page }) };
