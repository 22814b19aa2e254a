function name(root) {
  // else an arrow key on a list walks to the next cell, and a letter may insert or cut one
  for (const control of root.querySelectorAll('select, [role=slider], input[type=checkbox]'))
    control.dataset.lmSuppressShortcuts = 'true';
  for (const dial of root.querySelectorAll('.woodcalc-dial')) {
    const text = dial.querySelector('.woodcalc-name')?.textContent;
    if (!text) continue;
    for (const control of dial.querySelectorAll('[role=slider], input, select, textarea'))
      if (control.getAttribute('aria-label') !== text) control.setAttribute('aria-label', text);
    const buttons = dial.querySelector('.widget-hbox:has(> button)');  // a row of buttons is named as one
    if (buttons && buttons.getAttribute('aria-label') !== text) {
      buttons.setAttribute('role', 'group');
      buttons.setAttribute('aria-label', text);
    }
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
// The engine is the kernel: the program that a box asks for every answer. A box whose engine is gone looks alive and does
// nothing; so each box listens for that, asks back when somebody acts in it, and says what happened and what to do.
const GONE = ['dead', 'restarting', 'autorestarting', 'terminating', 'starting'];  // one that starts knows no box yet
const ALL = 'woodcalc-engine-lost', BACK = 'woodcalc-engine-back';

function watch(model, root) {
  if (root.parentElement?.closest('.woodcalc')) return null;  // the box around it tells
  const kernel = model.widget_manager?.kernel;
  const press = root.closest('.jp-NotebookPanel') ? 'Press <b>Run this lesson</b>' : 'Load this page again';
  const LOST = '<b>This page has lost its engine.</b> The program behind it has stopped, or was started anew. ' +
    `${press} to go on. What you typed stays here, and is there again after that.`;
  const CUT = '<b>This page can\u2019t reach its engine.</b> If you closed the window that the book was started from, start ' +
    'the book again and open this lesson there. If the network dropped out, wait: this note goes away by itself. What you ' +
    'typed stays here until you close this page.';
  const ASLEEP = '<b>The engine of this page does not answer.</b> It stands still, as on a computer that ran out of ' +
    'memory or was put to sleep. What you press now is carried out when it wakes, so press once and wait. If it does not ' +
    'wake, close the book and start it again. What you typed stays here until you close this page.';
  const BUSY = 'The engine is still at work on another part of this lesson. This box answers when that is done.';
  let note, acted, pending = null, looking = false, closed = false, lost = false;
  let asked = 0, answered = 0, silent = 0, since = performance.now();  // milliseconds, but for the count of silences
  let spoke = 0;  // when the engine last said anything, to whomever

  function place() {  // where the hand is, else under the title
    const near = (acted && [...root.children].find(child => child.contains(acted))) || root.firstElementChild;
    if (note.previousElementSibling !== near) near.after(note);
  }
  function tell(text) {
    if (!text) { note?.remove(); note = null; return; }
    if (!note) {
      note = document.createElement('div');
      note.className = 'woodcalc-note woodcalc-warn woodcalc-engine';
      // one voice is enough: the box in use speaks, else the first one of the page
      const boxes = [...document.querySelectorAll('.woodcalc')];
      const used = boxes.find(box => box.contains(document.activeElement));
      if (root === (used || boxes[0])) note.setAttribute('role', 'alert');
    }
    place();
    if (note.innerHTML !== text) note.innerHTML = text;
  }
  function lose() {
    if (!lost) window.dispatchEvent(new CustomEvent(ALL, { detail: kernel?.id }));  // what one box finds out, all know
  }
  function told(event) {
    if (event.detail !== kernel?.id) return;
    lost = true;
    tell(LOST);
    remember();
  }
  function remember() {
    const fields = texts(root);
    if (fields.size) typed[title(root)] = { from: root, fields };
  }

  async function look() {  // ask the server, for the line to the engine is down or silent
    if (looking || closed || lost) return;
    looking = true;
    let state = 'unreachable';
    try {
      const { baseUrl, token } = kernel.serverSettings;
      const headers = token ? { Authorization: `token ${token}` } : {};
      const how = { headers, cache: 'no-store', signal: AbortSignal.timeout(1200) };
      const reply = await fetch(`${baseUrl}api/kernels/${kernel.id}`, how);
      if (reply.status === 404) state = 'gone';
      else if (reply.ok) state = (await reply.json()).execution_state;
    } catch { }
    looking = false;
    if (closed || lost) return;
    if (state === 'gone' || state === 'dead') lose();
    else if (state === 'unreachable' || kernel.connectionStatus !== 'connected') { tell(CUT); setTimeout(look, 2000); }
    else if (asked && state === 'idle') {  // it is there and free, and yet it does not know this box; or it is slow
      if (spoke < asked) { tell(ASLEEP); setTimeout(check, 1000); }  // to a box that it does not know it says so much
      else if (silent++) lose(); else setTimeout(look, 1000);
    }
    else if (asked) setTimeout(check, 1000);
    else tell('');
  }
  function ask() {
    if (asked || closed) return;
    asked = performance.now();
    try { model.send('there?'); } catch { return kernel ? lose() : null; }
    setTimeout(check, 2000);
  }
  function check() {
    if (!asked || closed || !kernel) return;
    if (lost) { asked = 0; return; }
    const now = performance.now();
    if (kernel.connectionStatus !== 'connected') return look();
    // between two cells of a run it is free for a moment
    if (kernel.status === 'idle' && now - since > 1000) return look();
    if (now - asked > 5000) tell(BUSY);
    setTimeout(check, 1000);
  }
  // The answer is taken from the line itself: to a box whose script took over two seconds to load nothing is handed on.
  function onMessage(_, { direction, msg: { header, content } }) {
    if (direction === 'recv') spoke = performance.now();
    if (header.msg_type === 'comm_msg' && content.data?.content?.here === model.get('me')) heard();
  }
  function heard() {
    const again = lost;
    asked = silent = 0;
    answered = performance.now();
    lost = false;
    tell('');
    if (again) window.dispatchEvent(new CustomEvent(BACK, { detail: kernel?.id }));  // it only stood still: all ask anew
  }
  function back(event) { if (lost && event.detail === kernel?.id) ask(); }
  function onStatus(_, status) {
    since = performance.now();
    if (GONE.includes(status)) lose();
  }
  function onLine(_, status) {
    if (lost) return;
    if (status === 'connected') { tell(''); asked = 0; answered = 0; ask(); }
    else setTimeout(() => kernel.connectionStatus !== 'connected' && look(), 1500);
  }
  function onAct(event) {
    acted = event.target;
    if (note) { place(); note.scrollIntoView({ block: 'nearest' }); }
    const now = performance.now();
    if (!pending) pending = setTimeout(() => {  // a picture that moves is an answer; asking would only slow it down
      pending = null;
      if (since < now || now - answered > 10000) ask();
    }, 400);
  }

  // JupyterLab tells of some of it in a dialog, and after that the page stands at another cell: then back to the note
  // that is nearest to where the reader was.
  let here = false;
  const dialogs = new MutationObserver(changes => {
    const some = part => changes.some(change => [...change[part]].some(node => node.matches?.('.jp-Dialog')));
    if (some('addedNodes')) here = root === inView();
    if (some('removedNodes') && here) setTimeout(() => note?.scrollIntoView({ block: 'nearest' }), 100);
  });
  dialogs.observe(document.body, { childList: true });

  const acts = ['pointerdown', 'keydown', 'change'];
  acts.forEach(act => root.addEventListener(act, onAct, true));
  root.addEventListener('input', remember, true);
  kernel?.anyMessage.connect(onMessage);
  window.addEventListener(ALL, told);
  window.addEventListener(BACK, back);
  kernel?.statusChanged.connect(onStatus);
  kernel?.connectionStatusChanged.connect(onLine);
  kernel?.disposed.connect(lose);
  return () => {
    closed = true;
    dialogs.disconnect();
    acts.forEach(act => root.removeEventListener(act, onAct, true));
    root.removeEventListener('input', remember, true);
    kernel?.anyMessage.disconnect(onMessage);
    window.removeEventListener(ALL, told);
    window.removeEventListener(BACK, back);
    kernel?.statusChanged.disconnect(onStatus);
    kernel?.connectionStatusChanged.disconnect(onLine);
    kernel?.disposed.disconnect(lose);
    note?.remove();
  };
}

// A lesson that is run in another window has the same engine, which closes the boxes of the run before: they go from this
// page without a word. In the window that runs it their place has gone by then, with the old output.
const ELSEWHERE = 'This lesson was run in another window. Press <b>Run this lesson</b> here to go on.';

function tellIfClosed(model, root) {
  const place = root.closest('.jp-OutputArea-child'), kernel = model.widget_manager?.kernel;
  if (!place || root.parentElement.closest('.woodcalc')) return null;
  let closing = -Infinity;  // when the engine last closed anything
  const onMessage = (_, { direction, msg: { header } }) => {
    if (direction === 'recv' && header.msg_type === 'comm_close') closing = performance.now();
  };
  kernel?.anyMessage.connect(onMessage);
  return () => {  // the box leaves the page
    kernel?.anyMessage.disconnect(onMessage);
    if (performance.now() - closing < 5000) setTimeout(tell, 500);
  };
  function tell() {
    if (place.querySelector('.woodcalc, .woodcalc-elsewhere')) return;
    const note = document.createElement('div');
    note.className = 'woodcalc-elsewhere';
    note.style.cssText = 'background: #fdf1e7; color: #222; border-left: 6px solid #d55e00; padding: 6px 10px; ' +
      'font-size: 1rem; max-width: 46em; margin: 6px 0;';
    note.innerHTML = ELSEWHERE;
    if (!document.querySelector('.woodcalc-elsewhere')) note.setAttribute('role', 'alert');  // one voice is enough
    place.append(note);
  }
}

function inView() {  // the first whole box that ends below the upper third of the window
  return [...document.querySelectorAll('.woodcalc')].find(box => box.offsetParent &&
    !box.parentElement.closest('.woodcalc') && box.getBoundingClientRect().bottom > window.innerHeight / 3);
}

// What stands in a form, half filled or without its engine, is put into the same form once it has run again. The fields
// themselves are kept, off the page too: what has been saved and emptied since is not brought back.
const typed = window.woodcalcTyped ||= {};

function texts(root) {
  const fields = root.matches('.woodcalc-form') ? root.querySelectorAll('.woodcalc-dial input[type=text]') : [];
  return new Map([...fields].map(field => [field.getAttribute('aria-label'), field]));
}
function title(root) { return root.querySelector('.woodcalc-title')?.textContent; }

function bringBack(root) {
  const { from, fields: before } = typed[title(root)] ?? { from: root }, fields = texts(root);
  // another table has other fields, and they may still be on their way
  if (from === root || ![...before.keys()].every(label => fields.has(label))) return;
  typed[title(root)] = { from: root, fields };
  for (const [label, { value: text }] of before) {
    const field = fields.get(label);
    if (!text || field.value === text) continue;
    field.value = text;
    field.dispatchEvent(new Event('change', { bubbles: true }));
  }
}

// What a button acts on is what the page shows: a change of a field waits for the answer to the one before, a press does
// not. So the press says what stands in the fields. What is typed while it is answered is put back, should the answer
// empty the field. A change that waited comes after the answer, and fills a field that was emptied with what is saved.
function sayWithPress(model, root) {
  let since = new Map(), pressed = new Map(), emptied = new Set(), watching, telling;
  // A row was chosen and its cells are still on their way: what is typed meanwhile stays in its field, and what is
  // pressed waits.
  let waiting = null;
  const onChoose = event => {
    if (!model.get('choosers').includes(event.target.getAttribute?.('aria-label'))) return;
    clearInterval(waiting?.holding);
    pressed = new Map();  // the row brings its own cells
    waiting = { typed: new Map(), number: 0, asked: -1e9, there: 0, holding: setInterval(hold, 20) };
  };
  const hold = () => {
    const now = performance.now();
    for (const [field, text] of waiting.typed) if (field.value !== text) field.value = text;
    const { number, ...rows } = model.get('chosen');
    const shown = label => root.querySelector(`select[aria-label="${label}"]`)?.value;
    const same = number === waiting.number && Object.entries(rows).every(([label, text]) => shown(label) === text);
    if (same) waiting.there ||= now;
    if (waiting.there && now - waiting.there > 60) return release();
    if (waiting.there || now - waiting.asked < (number === waiting.number ? 150 : 3000)) return;
    waiting.asked = now;
    waiting.number = Math.random();
    try { model.send({ chosen: waiting.number }); } catch { }
  };
  const release = () => {
    const { typed, pressed, holding } = waiting;
    clearInterval(holding);
    waiting = null;
    for (const field of typed.keys()) {
      if (!field.isConnected) continue;  // another table has other fields
      field.dispatchEvent(new Event('change', { bubbles: true }));
      model.send({ typed: { [field.getAttribute('aria-label')]: field.value } });
    }
    if (pressed?.isConnected) pressed.click();
  };
  const onInput = event => {
    const label = event.target.getAttribute?.('aria-label');
    if (waiting && event.target.matches('input[type=text]')) return waiting.typed.set(event.target, event.target.value);
    if (watching && label) since.set(label, event.target.value);
    if (!label) return;
    clearTimeout(telling);  // half a word is kept, too: the page may be closed before the field is left
    telling = setTimeout(() => { try { model.send({ typed: { [label]: event.target.value } }); } catch { } }, 500);
  };
  const onPress = event => {
    const button = event.target.closest('button');
    if (!button) return;
    if (waiting) {
      event.preventDefault();
      event.stopImmediatePropagation();
      waiting.pressed = button;
      return;
    }
    clearTimeout(telling);
    // a late answer may just have emptied a field that was typed in since, and the text is not put back yet
    const shown = [...texts(root)].map(([label, field]) => [label, field.value || (watching && since.get(label)) || '']);
    model.send({ fields: Object.fromEntries(shown) });
    since = new Map();
    pressed = new Map(shown);
    emptied = new Set();
    clearInterval(watching);
    let left = 200;  // twentieths of a second
    watching = setInterval(() => {
      for (const [label, field] of texts(root)) {
        const late = field.value && field.value === pressed.get(label) && (since.has(label) || emptied.has(label));
        if (!field.value) emptied.add(label);
        else if (!late) continue;
        const text = since.get(label) ?? '';
        if (field.value === text) continue;
        field.value = text;
        if (document.activeElement !== field) field.dispatchEvent(new Event('change', { bubbles: true }));
      }
      if (left-- < 0) { clearInterval(watching); watching = null; }
    }, 50);
  };
  root.addEventListener('click', onPress, true);
  root.addEventListener('input', onInput, true);
  root.addEventListener('change', onChoose, true);
  return () => {
    clearInterval(waiting?.holding);
    root.removeEventListener('change', onChoose, true);
    clearInterval(watching);
    clearTimeout(telling);
    root.removeEventListener('click', onPress, true);
    root.removeEventListener('input', onInput, true);
  };
}

// A picture that is as small as on a phone is drawn with larger type.
const PHONE = 480;  // pixels
function sayNarrow(model, root) {
  let said = false;
  const observer = new ResizeObserver(() => {
    const narrow = root.clientWidth < PHONE;
    if (!root.clientWidth || narrow === said) return;
    said = narrow;
    try { model.send({ narrow }); } catch { }
  });
  observer.observe(root);
  return () => observer.disconnect();
}

// On a map a tap or a click reads off the dot that is next to it.
function sayPointed(model, root) {
  const onClick = event => {
    const picture = event.target.closest('.woodcalc-right img');
    if (!picture) return;
    const { left, top, width, height } = picture.getBoundingClientRect();
    try { model.send({ pointed: [(event.clientX - left) / width, (event.clientY - top) / height] }); } catch { }
  };
  root.addEventListener('click', onClick);
  return () => root.removeEventListener('click', onClick);
}

function render({ model, el }) {
  el.style.display = 'none';
  let names, unwatch, untell, unsay, unwide, unpoint;
  const wait = setInterval(() => {
    const root = el.closest('.woodcalc');
    if (!root) return;
    clearInterval(wait);
    start(root);
    name(root);
    // controls that come later get their names too, and what stood in them
    names = new MutationObserver(() => { name(root); bringBack(root); });
    names.observe(root, { childList: true, subtree: true });
    unwatch = watch(model, root);
    untell = tellIfClosed(model, root);
    if (root.matches('.woodcalc-form')) unsay = sayWithPress(model, root);
    if (root.matches('.woodcalc-panel')) unwide = sayNarrow(model, root);
    if (root.matches('.woodcalc-map')) unpoint = sayPointed(model, root);
    bringBack(root);
  }, 50);
  return () => { clearInterval(wait); names?.disconnect(); unwatch?.(); untell?.(); unsay?.(); unwide?.(); unpoint?.(); };
}

export default { render };
