// A link without a tablet, for tests: cards and the time are what the test sets.
const link = {
  state: "joined", why: "", waitMs: 0, number: 7, role: "shows", lanes: LANES, title: "Long-axis rotation 3", picked: null,
  aloneSince: null, walls: [], begun: true, ended: false, stopped: false, cards: null, at: 0, acts: [],
  join(code) { this.code = code; },
  pick(lane, view) { this.picked = { lane, view }; },
  now() { return this.at; },
  bound() { return 4; },
  act(kind, data) { this.acts.push([kind, data]); return this.acts.length; }
};
