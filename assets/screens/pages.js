// The pages before and beside a view: the code, which lane, how wide the screen is; and the bar of keys.

const kept = {
  get(name) { try { return JSON.parse(localStorage.getItem("pacer " + name)); } catch (error) { return null; } },
  set(name, value) { try { localStorage.setItem("pacer " + name, JSON.stringify(value)); } catch (error) { /* not kept */ } }
};

const by = id => document.getElementById(id);

// A text in the reader's language, its values filled in. All are in pacer/show/wording/screenwords.py.
const word = (name, values) => TABLET.page[name].replace(/\{(\w+)\}/g, (_, key) => values[key]);

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
  rows.push(keysOf([{ text: word("clear"), press: () => { code = ""; draw(); } }, { text: "0", press: press("0") },
    { text: word("delete"), press: () => { code = code.slice(0, -1); draw(); } }]));
  draw();
  return [made("h1", word("ask")), figures].concat(rows);
}

// Which lane, and what of it.
function lanePage(lanes, chosen, pick, title) {
  let view = (chosen && chosen.view) || "lane";
  const heads = made("div");
  const draw = () => {
    heads.textContent = "";
    heads.appendChild(keysOf(["lane", "dial", "pool"].map(name => ({
      text: word(name), look: view === name ? "on" : "", press: () => { view = name; draw(); }
    }))));
    heads.appendChild(made("h1", word("which")));
    heads.appendChild(keysOf(lanes.map((number, lane) => ({
      text: number, look: chosen && chosen.lane === lane ? "on" : "", press: () => pick(lane, view)
    })), window.innerWidth < 500 ? "33.3%" : "25%"));
  };
  draw();
  return [made("p", title), heads, made("p", staysOn())];
}

// What keeps the screen on, or what to set where the browser does not.
function staysOn() {
  return word(screenLock.held ? "on" : "off");
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
  const draw = () => { number.textContent = word("cm", { width: cm.toFixed(1) }); };
  const change = by => () => { cm = Math.min(250, Math.max(4, cm + by)); draw(); };
  draw();
  return [
    made("h1", word("wide")),
    made("p", word("measure")),
    number,
    keysOf([{ text: "−5", press: change(-5) }, { text: "−½", press: change(-0.5) }, { text: "+½", press: change(0.5) },
      { text: "+5", press: change(5) }]),
    keysOf([{ text: word("save"), look: "main", press: () => keep(window.innerWidth / (cm * 10)) }])
  ];
}

// The tablet's address may have changed.
function addressPage(host, find) {
  const field = made("input");
  field.value = host;
  return [made("h1", word("address")),
    made("p", word("where") + " " + word("network")), field,
    keysOf([{ text: word("find"), look: "main", press: () => find(field.value.trim()) }])];
}

// How far away swimmers can stand.
function readableFrom(metres, done) {
  return [made("h1", word("far", { metres })),
    made("p", word(metres < TIER_1_M ? "near" : "enough")),
    keysOf([{ text: word("ok"), look: "main", press: done }])];
}
