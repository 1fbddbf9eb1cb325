// What a screen sets for itself, with the keys for that: bright or dark, beeps, its size, the whole glass.

const OPTIONS_MS = 8000;  // the keys go away by themselves

function options(shown) {
  const node = by("options");
  node.textContent = "";
  node.className = shown ? "shown" : "";
  clearTimeout(screen_.timer);
  if (!shown) return;
  screen_.timer = setTimeout(() => options(false), OPTIONS_MS);
  const again = change => () => { change(); options(true); };
  const keys = [
    { text: word("change"), press: () => { options(false); screen_.asks = "lane"; } },
    { text: word(screen_.theme === "dark" ? "bright" : "dark"), press: again(() => setTheme(screen_.theme === "dark" ? "bright" : "dark")) },
    { text: word(sound.on ? "beeps" : "quiet"), off: !sound.can, press: again(() => { sound.on = !sound.on; if (!sound.on) sound.silence(); }) },
    { text: word("size"), press: () => { options(false); screen_.asks = "width"; } }
  ];
  if (link.aloneSince !== null) keys.push({ text: word("again"), press: () => { options(false); screen_.asks = "address"; } });
  const whole = document.documentElement, ask = whole.requestFullscreen || whole.webkitRequestFullscreen;
  const leave = document.exitFullscreen || document.webkitExitFullscreen;
  const filled_ = document.fullscreenElement || document.webkitFullscreenElement;
  if (ask) keys.splice(1, 0, { text: word(filled_ ? "leave" : "fill"), press: () => { options(false); (filled_ ? leave : ask).call(filled_ ? document : whole); } });
  keys.forEach(key => {
    const button = node.appendChild(made("button", key.text, "", key.press));
    button.style.setProperty("--wide", "26%");
    button.disabled = Boolean(key.off);
  });
  node.appendChild(made("div", word("screen", { number: link.number }) + " " + staysOn(), "said"));
}

function setTheme(name) {
  screen_.theme = name;
  kept.set("theme", name);
  const theme = TABLET.themes[name], style = document.documentElement.style;
  ["ground", "deck", "water", "ink", "dim", "line"].forEach(key => style.setProperty("--" + key, theme[key]));
  Object.keys(TABLET.states).forEach(key => style.setProperty("--state-" + key, TABLET.states[key]));
  style.setProperty("--stop-ground", TABLET.stopGround);
  style.setProperty("--stop-time", TABLET.stopMs + "ms");
  document.querySelector("meta[name=theme-color]").content = theme.ground;
}

function setWidth(pxPerMm) {
  screen_.pxPerMm = pxPerMm;
  kept.set("px per mm", pxPerMm);
  measureKeys();
}

// Keys are as large as wet fingers need them, and not larger than the glass has room for.
function measureKeys() {
  const least = Math.min(window.innerWidth / 60, window.innerHeight / 90);
  const mm = Math.min(screen_.pxPerMm || 96 / 25.4, Math.max(least, 3)), style = document.documentElement.style;
  style.setProperty("--mm", mm + "px");
  style.setProperty("--key", Math.min(15 * mm, window.innerHeight * 0.115) + "px");
  style.setProperty("--figure", Math.min(14 * mm, window.innerHeight * 0.1, window.innerWidth * 0.15) + "px");
}

function wake() {
  sound.open();
  screenLock.ask();
}
