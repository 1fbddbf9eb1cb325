// The pages before and beside a view: the code, which lane, how wide the screen is; and the bar of keys.

const kept = {
  get(name) { try { return JSON.parse(localStorage.getItem("pacer " + name)); } catch (error) { return null; } },
  set(name, value) { try { localStorage.setItem("pacer " + name, JSON.stringify(value)); } catch (error) { /* not kept */ } }
};

const by = id => document.getElementById(id);

function made(tag, text = "", name = "", press = null) {
  const node = document.createElement(tag);
  node.textContent = text;
  if (name) node.className = name;
  if (press) node.addEventListener("click", press);
  return node;
}

function keysOf(keys, wide = "") {
  const row = made("div", "", "keys");
  keys.forEach(key => {
    const node = row.appendChild(made("button", key.text, key.look || "", key.press));
    if (wide) {
      node.style.setProperty("--wide", "calc(" + wide + " - 2 * var(--mm))");
      node.style.setProperty("--grow", "0");
    }
    if (key.off) node.disabled = true;
  });
  return row;
}

// A page over everything: nothing where it is the same as before.
const page = {
  shown: "",
  show(name, make) {
    if (this.shown === name) return;
    this.shown = name;
    const node = by("page");
    node.textContent = "";
    node.style.display = name ? "flex" : "none";
    if (name) make().forEach(each => node.appendChild(each));
  }
};

const REFUSED = {
  code: "That is not the code on the tablet.",
  shut: "Too many wrong codes.",
  used: "Another screen has used this QR code. Scan the one on the tablet now.",
  away: "The coach disconnected this screen.",
  full: "The tablet has as many screens as it can serve.",
  session: "That was another session. Scan the tablet's QR code again.",
  version: "This page is older or newer than the tablet. Load it again."
};

function codePage(join) {
  let code = "";
  const figures = made("div", "", "figures");
  const draw = () => {
    figures.textContent = "";
    for (let place = 0; place < 6; place++) figures.appendChild(made("span", code[place] || " "));
  };
  const press = digit => () => {
    if (code.length < 6) code += digit;
    draw();
    if (code.length === 6) {
      join(code);
      code = "";
    }
  };
  const rows = [["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"]].map(row => keysOf(row.map(text => ({ text, press: press(text) }))));
  rows.push(keysOf([{ text: "Clear", press: () => { code = ""; draw(); } }, { text: "0", press: press("0") },
    { text: "Delete", press: () => { code = code.slice(0, -1); draw(); } }]));
  draw();
  return [made("h1", "Code on the tablet"), figures].concat(rows);
}

// Which lane, and what of it.
function lanePage(lanes, chosen, pick, title) {
  let view = (chosen && chosen.view) || "lane";
  const heads = made("div");
  const draw = () => {
    heads.textContent = "";
    heads.appendChild(keysOf([["lane", "Lane"], ["dial", "Dial"], ["pool", "Pool"]].map(each => ({
      text: each[1], look: view === each[0] ? "on" : "", press: () => { view = each[0]; draw(); }
    }))));
    heads.appendChild(made("h1", "Which lane is this screen at?"));
    heads.appendChild(keysOf(lanes.map((number, lane) => ({
      text: number, look: chosen && chosen.lane === lane ? "on" : "", press: () => pick(lane, view)
    })), window.innerWidth < 500 ? "33.3%" : "25%"));
  };
  draw();
  return [made("p", title), heads, made("p", staysOn())];
}

// What keeps the screen on, or what to set where the browser does not.
function staysOn() {
  return screenLock.held ? "The screen stays on."
    : "Set this device so that its screen stays on: Settings, Display, screen timeout: the longest, or never.";
}

const screenLock = {
  held: false,
  ask() {
    if (!navigator.wakeLock || this.held || document.hidden) return;
    navigator.wakeLock.request("screen").then(lock => {
      this.held = true;
      lock.addEventListener("release", () => { this.held = false; });
    }, () => { /* the browser does not allow it: the page says what to set */ });
  }
};

// How wide the screen is, so that digits are as large as they must be. Asked once.
function widthPage(keep) {
  const guess = navigator.maxTouchPoints || "ontouchstart" in window ? 6.3 : 96 / 25.4;
  let cm = Math.max(4, Math.round(window.innerWidth / guess / 5) / 2);
  const number = made("div", "", "figures");
  const draw = () => { number.textContent = cm.toFixed(1) + " cm"; };
  const change = by => () => { cm = Math.min(250, Math.max(4, cm + by)); draw(); };
  draw();
  return [
    made("h1", "How wide is this screen?"),
    made("p", "Digits are sized by it, so that swimmers can read them from the water. Measure the lit part as you hold it now. " +
      "A phone is 6 to 7 cm wide, a tablet 13 to 24 cm."),
    number,
    keysOf([{ text: "−5", press: change(-5) }, { text: "−½", press: change(-0.5) }, { text: "+½", press: change(0.5) },
      { text: "+5", press: change(5) }]),
    keysOf([{ text: "Save", look: "main", press: () => keep(window.innerWidth / (cm * 10)) }])
  ];
}

// The tablet's address may have changed.
function addressPage(host, find) {
  const field = made("input");
  field.value = host;
  return [made("h1", "Address on the tablet"),
    made("p", "The tablet shows it under More, Lane screens. Both must be on the same network."), field,
    keysOf([{ text: "Find", look: "main", press: () => find(field.value.trim()) }])];
}

// How far away swimmers can stand.
function readableFrom(metres, done) {
  return [made("h1", "Readable from " + metres + " m"),
    made("p", metres < TABLET.tiers[0] ? "That is the count-down. Use a larger screen, or put it nearer to the swimmers."
      : "That is the count-down, the lane and the state."),
    keysOf([{ text: "OK", look: "main", press: done }])];
}
