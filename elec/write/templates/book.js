"use strict";
(() => {
  const one = (what, where = document) => where.querySelector(what);
  const all = (what, where = document) => [...where.querySelectorAll(what)];
  const make = (tag, text = "", kind = "") => {
    const made = document.createElement(tag);
    if (text) made.textContent = text;
    if (kind) made.className = kind;
    return made;
  };
  const plain = (text) => text.toLowerCase().replace(/[\u00a0\s_]+/g, " ").trim();

  // -- what is kept packed until somebody asks for it ------------------------------------------

  const unpack = async (script) => {
    const bytes = Uint8Array.from(atob(script.textContent.trim()), (c) => c.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    return new Response(stream).text();
  };
  const held = () => all("noscript.held, script.packed");
  const kept = new WeakMap();
  const textOf = (holder) => {
    if (!kept.has(holder)) {
      kept.set(holder, holder.matches("noscript") ? Promise.resolve(holder.textContent) : unpack(holder));
    }
    return kept.get(holder);
  };
  let indexed = null;
  const index = () => {
    if (!indexed) {
      const script = one("script#index");
      indexed = (script ? unpack(script).then(JSON.parse) : Promise.resolve({ by: {}, cards: [], more: [] }))
        .then((found) => {
          found.cards.forEach((card) => { card.words = plain(`${card.name} ${card.title}`); });
          found.more.forEach((card) => { card.words = plain(`${card.name} ${card.title}`); });
          found.cards.forEach((card) => {
            Object.entries(found.by).forEach(([key, texts]) => { card[key] = (card[key] || []).map((k) => texts[k]); });
          });
          found.wires = new Map(found.cards.filter((c) => c.kind === "wire").map((c) => [c.name, c]));
          found.names = new Map();
          found.cards.forEach((c) => { if (!found.names.has(c.name)) found.names.set(c.name, c); });
          found.titles = new Map();
          found.cards.forEach((c) => { if (!found.titles.has(c.title)) found.titles.set(c.title, c); });
          return found;
        });
    }
    return indexed;
  };

  const fill = async (holder) => {
    const [text, known] = await Promise.all([textOf(holder), index()]);
    if (!holder.isConnected) return;
    const template = document.createElement("template");
    template.innerHTML = text;
    prepare(template.content, known);
    const around = holder.closest("section.closed");
    const figure = holder.closest("figure.sheet");
    const section = holder.parentElement.closest("main > section");
    holder.replaceWith(template.content);
    if (around) open(around, true);
    if (figure) crop(figure); else if (section) narrow(section, known);
    watch();
  };
  const open = (section, filled = false) => {
    section.classList.remove("closed");
    const button = one(":scope > h2 > button, :scope > h3 > button", section);
    if (button) button.setAttribute("aria-expanded", "true");
    const holder = one(":scope > noscript.held, :scope > script.packed", section);
    return holder && !filled ? fill(holder) : Promise.resolve();
  };
  const shut = (section) => {
    section.classList.add("closed");
    one(":scope > h2 > button, :scope > h3 > button", section).setAttribute("aria-expanded", "false");
  };
  const fold = (section) => {
    const head = one(":scope > h2, :scope > h3", section);
    if (!head || one("button", head)) return;
    const button = make("button", head.textContent);
    button.type = "button";
    button.setAttribute("aria-expanded", "false");
    head.replaceChildren(button);
    section.classList.add("closed");
    button.addEventListener("click", () => {
      if (section.classList.contains("closed")) open(section); else shut(section);
    });
  };
  const seen = "IntersectionObserver" in window && new IntersectionObserver((entries) => {
    entries.filter((e) => e.isIntersecting).forEach((e) => {
      seen.unobserve(e.target);
      const holder = one("noscript.held", e.target);
      if (holder) fill(holder);
    });
  }, { rootMargin: "800px" });
  const watch = () => {
    all("figure.waits").forEach((figure) => {
      if (!one("noscript.held", figure)) figure.classList.remove("waits");
      else if (seen) seen.observe(figure);
      else fill(one("noscript.held", figure));
    });
  };
  // On a phone a sheet is shown without its frame; paper has it whole again.
  const small = window.matchMedia("(max-width: 40rem)");
  const MARGIN_MM = 3;
  const PX_PER_MM = 3.2;
  const crop = (figure) => {
    const svg = one("svg.sheet", figure);
    if (!svg || !small.matches) return;
    const boxes = [...svg.children].filter((part) => part.matches("g:not(.frame)")).map((part) => {
      const [box, turn] = [part.getBBox(), part.transform.baseVal.consolidate()];
      const across = turn ? turn.matrix.a : 1;
      return { x: box.x * across, y: box.y, width: box.width * across, height: box.height };
    }).filter((box) => box.width);
    if (!boxes.length) return;
    const least = (key) => Math.min(...boxes.map((box) => box[key]));
    const most = (key, size) => Math.max(...boxes.map((box) => box[key] + box[size]));
    const [x, y] = [least("x") - MARGIN_MM, least("y") - MARGIN_MM];
    const [wide, high] = [most("x", "width") + MARGIN_MM - x, most("y", "height") + MARGIN_MM - y];
    svg.dataset.whole = svg.getAttribute("viewBox");
    svg.setAttribute("viewBox", `${x} ${y} ${wide} ${high}`);
    svg.style.minWidth = `${Math.round(wide * PX_PER_MM)}px`;
    figure.classList.add("cropped");
    one(".frame", figure).style.aspectRatio = "";
  };
  const whole = () => all("svg[data-whole]").forEach((svg) => {
    svg.setAttribute("viewBox", svg.dataset.whole);
    svg.style.minWidth = "";
    svg.removeAttribute("data-whole");
    svg.closest("figure").classList.remove("cropped");
  });
  const everything = async (which) => {
    for (let left = held().filter(which); left.length; left = held().filter(which)) {
      for (const holder of left) await fill(holder);
    }
  };

  // -- marks and names are links ----------------------------------------------------------------

  const MARK = /[A-Z]\d+[A-Z]+[\d/]*[-N]?/g;
  let lit = "";
  const led = (element, name) => {
    element.dataset.to = name;
    element.classList.add("to");
    if (name === lit) element.classList.add("lit");
  };
  const link = (name, text) => {
    const made = make("a", text);
    made.href = `#=${encodeURIComponent(name)}`;
    led(made, name);
    return made;
  };
  const linked = (text, known) => {
    const parts = [];
    let at = 0;
    for (const found of text.matchAll(MARK)) {
      if (!known.wires.has(found[0])) continue;
      parts.push(text.slice(at, found.index), link(found[0], found[0]));
      at = found.index + found[0].length;
    }
    return parts.length ? [...parts, text.slice(at)] : null;
  };
  const prepare = (content, known) => { name(content, known); equip(content); };
  const name = (content, known) => {
    const walker = document.createTreeWalker(content, NodeFilter.SHOW_TEXT);
    const texts = [];
    while (walker.nextNode()) texts.push(walker.currentNode);
    for (const node of texts) {
      const parent = node.parentElement;
      if (!parent || !node.data.trim() || parent.closest("a, button, script, summary")) continue;
      if (parent.namespaceURI.endsWith("svg")) {
        const name = node.data.trim();
        if (known.wires.has(name)) {
          led(parent, name);
          parent.setAttribute("tabindex", "0");
          parent.setAttribute("role", "link");
        }
        continue;
      }
      const parts = node.data.length < 4000 && linked(node.data, known);
      if (parts) { node.replaceWith(...parts); continue; }
      const cell = parent.closest("td, th");
      const title = node.data.trim();
      if (cell && cell.textContent.trim() === title && known.titles.has(title)) {
        node.replaceWith(link(known.titles.get(title).name, node.data));
      }
    }
  };
  const equip = (content) => {
    all("details.why .panel", content).forEach((panel) => {
      const close = make("button", "Close");
      close.type = "button";
      close.addEventListener("click", () => { panel.parentElement.open = false; });
      panel.prepend(close);
    });
    all("details.why .panel a[href^='#w']", content).forEach((lead) => {
      const why = lead.closest("details.why");
      why.addEventListener("toggle", async () => {
        if (!why.open || !lead.isConnected) return;
        await find(lead.hash.slice(1));
        const home = document.getElementById(lead.hash.slice(1));
        if (!home) return;
        const shown = home.cloneNode(true);
        shown.removeAttribute("id");
        lead.replaceWith(lead.textContent);
        one(".panel", why).append(shown);
      });
    });
    all("input[data-tick]", content).forEach(remember);
    all("section.folds", content).forEach(fold);
  };
  const light = (name) => {
    lit = name;
    all(".lit").forEach((was) => was.classList.remove("lit"));
    all(".to").filter((to) => to.dataset.to === name).forEach((to) => to.classList.add("lit"));
  };

  // -- a list narrowed by zone, bus, state of work, verdict and words ---------------------------

  const NARROW = [
    ["zone", "Zone", "in no zone"], ["bus", "Bus", "on no bus"],
    ["state", "State", "no wire"], ["verdict", "Verdict", "not judged"],
  ];
  const VERDICTS = ["fail", "advise", "cannot-tell", "accepted", "pass"];
  const BUILT = ["planned", "cut", "pulled", "terminated", "rung out", "tested"];
  const TO_DO = "open: not rung out";
  const FEW = 8;
  const bars = new WeakMap();
  const meant = (row, known) => {
    if (row.dataset.by !== undefined) return row.dataset.by.split(" ").filter(Boolean).map((k) => known.cards[k]);
    const table = row.closest("div.table");
    const head = one("th", row);
    if (!table || !head) return [];
    const said = head.textContent.trim();
    const asked = table.id.startsWith("contacts-") ? `${table.id.slice(9)}.${said}` : one("[data-to]", head) ? one("[data-to]", head).dataset.to : said;
    const boxes = table.id.startsWith("equipment") ? known.cards.find((c) => c.kind === "equipment" && [c.name, c.title].includes(said)) : null;
    const found = boxes || known.wires.get(asked) || known.names.get(asked) || known.titles.get(asked);
    return found ? [found] : [];
  };
  const holds = (row, known) => {
    const things = meant(row, known);
    const from = (key) => things.flatMap((thing) => thing[key] || []);
    const of = row.closest(".finding, .passes");
    const own = of && (of.matches(".passes") ? "pass" : VERDICTS.find((word) => of.matches(`.${word}`)));
    const marked = VERDICTS.filter((word) => one(`.mark.${word}`, row));
    const state = from("states");
    if (state.some((word) => BUILT.indexOf(word) < 4)) state.push(TO_DO);
    return {
      row, known: things.length > 0, text: plain(row.textContent),
      zone: from("zones"), bus: from("buses"), state,
      verdict: own ? [own] : [...from("verdict"), ...marked, ...things.map((thing) => thing.verdict).filter(Boolean)],
    };
  };
  const narrow = (section, known) => {
    const owner = section.id === "summary" ? one("#findings", section) : section;
    if (!owner || bars.has(owner)) return;
    const rows = all(".entry", owner).filter((row) => !one(".entry", row)).map((row) => holds(row, known));
    const named = rows.filter((row) => row.known).length;
    if (named < FEW || 2 * named < rows.length) return;
    // An empty first cell means what stands above it, which might be left out.
    if (rows.some(({ row }) => row.matches("tr") && !one("th", row).textContent.trim())) return;
    const bar = make("details", "", "narrow");
    const choices = make("div", "", "choices");
    const said = make("output");
    const fields = [];
    const field = (key, title, made) => {
      const label = make("label", title);
      made.name = key;
      label.append(made);
      choices.append(label);
      fields.push(made);
      made.addEventListener("input", () => { apply(); keep(); });
    };
    NARROW.forEach(([key, title, none]) => {
      const count = new Map();
      rows.forEach((row) => new Set(row[key].length ? row[key] : [""]).forEach((v) => count.set(v, (count.get(v) || 0) + 1)));
      if (count.size < 2) return;
      const order = { verdict: VERDICTS, state: [TO_DO, ...BUILT] }[key] || known.by[key === "bus" ? "buses" : "zones"];
      const select = make("select");
      select.append(new Option("all", ""));
      [...count.keys()].filter(Boolean).sort((a, b) => order.indexOf(a) - order.indexOf(b))
        .forEach((v) => select.append(new Option(`${v.replace("cannot-tell", "cannot tell")} (${count.get(v)})`, v)));
      if (count.has("")) select.append(new Option(`${none} (${count.get("")})`, "-"));
      field(key, title, select);
    });
    const words = make("input");
    words.type = "search";
    field("words", "Words", words);
    const undo = make("button", "Show all");
    undo.type = "button";
    const around = all(".table, .finding, .passes, .passes .frame, section", owner).filter((box) => one(".entry", box));
    const apply = () => {
      const asked = fields.filter((box) => box.value && box !== words);
      const text = plain(words.value).split(" ").filter(Boolean);
      let shown = 0;
      rows.forEach((row) => {
        const fits = asked.every((box) => (box.value === "-" ? !row[box.name].length : row[box.name].includes(box.value)))
          && text.every((word) => row.text.includes(word));
        row.row.classList.toggle("out", !fits);
        shown += fits;
      });
      around.forEach((box) => {
        box.classList.toggle("out", all(".entry", box).every((row) => row.matches(".out") || one(".entry", row)));
        if (box.matches(".passes") && shown < rows.length && !box.matches(".out")) box.open = true;
      });
      said.textContent = shown === rows.length ? `All ${rows.length} rows are shown.`
        : shown ? `${shown} of ${rows.length} rows are shown.` : `Nothing is found: none of the ${rows.length} rows.`;
      undo.hidden = shown === rows.length && !asked.length && !text.length;
    };
    const keep = () => {
      const params = new URLSearchParams(fields.filter((box) => box.value).map((box) => [box.name, box.value])).toString();
      window.history.replaceState(null, "", `#${owner.id}${params ? `?${params}` : ""}`);
    };
    const set = (params) => {
      fields.forEach((box) => {
        const value = params.get(box.name) || "";
        if (box.options && ![...box.options].some((option) => option.value === value)) box.append(new Option(`${value} (0)`, value));
        box.value = value;
      });
      if ([...params.keys()].length) bar.open = true;
      apply();
    };
    undo.addEventListener("click", () => { set(new URLSearchParams()); keep(); fields[0].focus(); });
    bar.append(make("summary", `Show only some of the ${rows.length} rows`), choices, said, undo);
    one("h2, h3", owner).after(bar);
    bars.set(owner, set);
    apply();
  };

  // -- going to a place -------------------------------------------------------------------------

  const find = async (id) => {
    for (let tries = 0; tries < 4 && !document.getElementById(id); tries += 1) {
      let there = null;
      for (const holder of held()) {
        if ((await textOf(holder)).includes(`id="${id}"`)) { there = holder; break; }
      }
      if (!there) return null;
      await fill(there);
    }
    return document.getElementById(id);
  };
  const go = async (id, asked = "") => {
    const place = await find(id);
    if (!place) return;
    for (let around = place; around; around = around.parentElement) {
      if (around.matches("details")) around.open = true;
      if (around.matches("section.closed")) await open(around);
    }
    for (let around = place; around; around = around.parentElement) {
      const set = bars.get(around);
      if (set && (asked || place.closest(".out"))) set(new URLSearchParams(asked));
    }
    place.scrollIntoView({ block: "start" });
    const waits = place.matches("figure.waits") ? place : place.closest("figure.waits");
    if (waits && one("noscript.held", waits)) await fill(one("noscript.held", waits));
    if (!place.hasAttribute("tabindex")) place.setAttribute("tabindex", "-1");
    place.focus({ preventScroll: true });
    place.classList.add("here");
    window.setTimeout(() => place.classList.remove("here"), 2500);
  };
  const follow = async () => {
    const [id, asked] = window.location.hash.slice(1).split("?");
    const hash = decodeURIComponent(id);
    if (hash.startsWith("=")) show(hash.slice(1)); else if (hash) go(hash, asked);
  };
  document.addEventListener("click", (event) => {
    const to = event.target.closest(".to");
    if (to && to.dataset.to) {
      event.preventDefault();
      show(to.dataset.to, to);
      return;
    }
    const lead = event.target.closest("a[href^='#']");
    if (!lead || lead.hash.length < 2) return;
    event.preventDefault();
    if (window.location.hash === lead.hash) follow(); else window.location.hash = lead.hash;
  });
  window.addEventListener("hashchange", follow);

  // -- the card of a thing ----------------------------------------------------------------------

  const card = one("#card");
  let from = null;
  const STEPS = ["cut", "pulled", "terminated", "rung-out"];
  const showing = (found, known) => {
    const parts = [];
    const head = make("h2", found.name === found.title ? found.title : `${found.name}: ${found.title}`);
    head.tabIndex = -1;
    const close = make("button", "Close");
    close.type = "button";
    close.addEventListener("click", away);
    parts.push(close, make("p", found.kind, "kind"), head);
    const list = make("dl");
    (found.facts || []).forEach(([name, text]) => {
      const value = make("dd");
      value.append(...(linked(text, known) || [text]));
      const pair = make("div");
      pair.append(make("dt", name), value);
      list.append(pair);
    });
    parts.push(list);
    (found.said || []).forEach(([verdict, text, helps]) => {
      const row = make("p", "", "said");
      row.append(make("b", `${verdict.replace("-", " ")}: `, `mark ${verdict}`), ...(linked(text, known) || [text]));
      parts.push(row);
      if (helps) parts.push(make("p", `→ What helps: ${helps}`, "remedy"));
    });
    if (found.kind === "wire") parts.push(steps(found.name));
    const listed = (title, names, known_) => {
      if (!names || !names.length) return;
      parts.push(make("h3", title));
      const rows = make("ul");
      names.forEach((name) => {
        const other = known_.get(name);
        const row = make("li");
        row.append(link(name, name));
        const facts = other && other.kind === "wire" ? other.facts.filter(([k]) => k === "From" || k === "To") : [];
        if (facts.length) row.append(` ${facts.map(([, v]) => v).join(" → ")}`);
        else if (other && other.title !== name) row.append(` ${other.title}`);
        rows.append(row);
      });
      parts.push(rows);
    };
    listed(found.wires && found.wires.length === 1 ? "Its wire" : "Its wires", found.wires, known.wires);
    listed("Belongs to it", found.things, known.names);
    if (found.sheets && found.sheets.length) {
      parts.push(make("h3", "On sheets"));
      const rows = make("ul");
      found.sheets.forEach(([text, id]) => {
        const row = make("li");
        const lead = make("a", text);
        lead.href = `#${id}`;
        row.append(lead);
        rows.append(row);
      });
      parts.push(rows);
    }
    if (found.ref) {
      const more = make("p");
      const lead = make("a", "More of it in the book");
      lead.href = `#${found.ref}`;
      more.append(lead);
      parts.push(more);
    }
    return parts;
  };
  const show = async (name, by = null) => {
    const known = await index();
    display(known.wires.get(name) || known.names.get(name), known, by);
  };
  const display = (found, known, by) => {
    if (!found || !card) return;
    from = by || from;
    card.replaceChildren(...showing(found, known));
    card.hidden = false;
    light(found.name);
    one("h2", card).focus({ preventScroll: true });
  };
  const away = () => {
    if (!card || card.hidden) return;
    card.hidden = true;
    light("");
    if (window.location.hash.startsWith("#=")) window.history.replaceState(null, "", window.location.pathname + window.location.search);
    if (from && from.isConnected) from.focus();
    from = null;
  };

  // -- ticks: kept here, carried over as lines ---------------------------------------------------

  let store = null;
  try { store = window.localStorage; store.getItem("elec"); } catch (error) { store = null; }
  const book = document.body.dataset.book;
  const get = (key) => { try { return store && store.getItem(key); } catch (error) { return null; } };
  const put = (key, value) => {
    try {
      if (value === null) store.removeItem(key); else store.setItem(key, value);
    } catch (error) { /* a full or closed store keeps nothing; the pen still does */ }
  };
  const remember = (tick) => {
    if (!store) return;
    const key = `elec|${book}|${tick.dataset.tick}`;
    tick.checked = get(key) === "yes";
    tick.addEventListener("change", () => put(key, tick.checked ? "yes" : null));
  };
  const stateKey = (mark) => `elec|${book}|state|${mark}`;
  const steps = (mark) => {
    const box = make("fieldset", "", "boxes");
    box.append(make("legend", "Done here, to be carried into the file"));
    STEPS.forEach((state) => {
      const label = make("label");
      const tick = make("input");
      tick.type = "radio";
      tick.name = "state";
      tick.checked = get(stateKey(mark)) === state;
      tick.addEventListener("change", () => { put(stateKey(mark), state); count(); });
      label.append(tick, make("span", state.replace("-", " ")));
      box.append(label);
    });
    const undo = make("button", "Not done here");
    undo.type = "button";
    undo.addEventListener("click", () => {
      put(stateKey(mark), null);
      all("input", box).forEach((tick) => { tick.checked = false; });
      count();
    });
    box.append(undo);
    return box;
  };
  const states = () => {
    const found = [];
    const start = stateKey("");
    for (let k = 0; store && k < store.length; k += 1) {
      const key = store.key(k);
      if (key.startsWith(start)) found.push(`${key.slice(start.length)} ${get(key)}`);
    }
    return found.sort();
  };
  // -- the lines as a picture to scan: ISO/IEC 18004, bytes, level L, versions 1 to 15 ------------

  const CHECKS = [7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22];
  const BLOCKS = [1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6];
  const [POWER, LOG] = [[], []];
  for (let k = 0, x = 1; k < 255; k += 1) {
    [POWER[k], LOG[x]] = [x, k];
    x = x > 127 ? (x << 1) ^ 285 : x << 1;
  }
  const times = (a, b) => (a && b ? POWER[(LOG[a] + LOG[b]) % 255] : 0);
  const checked = (data, count) => {
    let divisor = [1];
    for (let k = 0; k < count; k += 1) {
      const next = [...divisor, 0];
      divisor.forEach((factor, i) => { next[i + 1] ^= times(factor, POWER[k]); });
      divisor = next;
    }
    const rest = [...data, ...Array(count).fill(0)];
    data.forEach((_, i) => { const first = rest[i]; divisor.forEach((factor, j) => { rest[i + j] ^= times(factor, first); }); });
    return rest.slice(data.length);
  };
  const spots = (version) => {
    if (version === 1) return [];
    const count = Math.floor(version / 7) + 2;
    const step = Math.ceil((4 * version + 4) / (2 * count - 2)) * 2;
    return [6, ...Array.from({ length: count - 1 }, (_, k) => 4 * version + 10 - (count - 2 - k) * step)];
  };
  const room = (version) => {
    const count = spots(version).length;
    const fixed = count ? (25 * count - 10) * count - 55 : 0;
    return Math.floor(((16 * version + 128) * version + 64 - fixed - (version > 6 ? 36 : 0)) / 8);
  };
  const remainder = (value, times_, divisor, high) => {
    let rest = value;
    for (let k = 0; k < times_; k += 1) rest = (rest << 1) ^ ((rest >> high) * divisor);
    return rest;
  };
  const codewords = (bytes, version) => {
    const [blocks, checks, whole] = [BLOCKS[version - 1], CHECKS[version - 1], room(version)];
    const most = whole - blocks * checks;
    let bits = `0100${bytes.length.toString(2).padStart(version < 10 ? 8 : 16, "0")}`;
    bytes.forEach((byte) => { bits += byte.toString(2).padStart(8, "0"); });
    bits += "0".repeat(Math.min(4, 8 * most - bits.length));
    bits = bits.padEnd(Math.ceil(bits.length / 8) * 8, "0");
    const data = bits.match(/.{8}/g).map((part) => parseInt(part, 2));
    for (let pad = 236; data.length < most; pad ^= 253) data.push(pad);
    const short = Math.floor(most / blocks);
    const parts = [];
    for (let k = 0, at = 0; k < blocks; k += 1) {
      const long = short + (k >= blocks - (most % blocks) ? 1 : 0);
      parts.push(data.slice(at, at + long));
      at += long;
    }
    const ends = parts.map((part) => checked(part, checks));
    const woven = (lists, length) => Array.from({ length }, (_, k) => lists.map((list) => list[k])).flat().filter((v) => v !== undefined);
    return [...woven(parts, short + 1), ...woven(ends, checks)];
  };
  const square = (text) => {
    const bytes = [...new TextEncoder().encode(text)];
    let version = 1;
    while (version < 16 && room(version) - BLOCKS[version - 1] * CHECKS[version - 1] < bytes.length + (version < 10 ? 2 : 3)) version += 1;
    if (version > 15) return null;
    const size = 4 * version + 17;
    const dark = Array.from({ length: size }, () => Array(size).fill(0));
    const fixed = Array.from({ length: size }, () => Array(size).fill(false));
    const set = (x, y, on) => {
      if (x < 0 || y < 0 || x >= size || y >= size) return;
      dark[y][x] = Number(on);
      fixed[y][x] = true;
    };
    for (let k = 0; k < size; k += 1) { set(6, k, k % 2 === 0); set(k, 6, k % 2 === 0); }
    const rings = (x, y, wide, light) => {
      for (let i = -wide; i <= wide; i += 1) {
        for (let j = -wide; j <= wide; j += 1) set(x + i, y + j, !light.includes(Math.max(Math.abs(i), Math.abs(j))));
      }
    };
    [[3, 3], [size - 4, 3], [3, size - 4]].forEach(([x, y]) => rings(x, y, 4, [2, 4]));
    const at = spots(version);
    at.forEach((x, i) => at.forEach((y, j) => {
      const corner = (!i && !j) || (!i && j === at.length - 1) || (!j && i === at.length - 1);
      if (!corner) rings(x, y, 2, [1]);
    }));
    const form = (mask) => {
      const bits = (((8 | mask) << 10) | remainder(8 | mask, 10, 0x537, 9)) ^ 0x5412;
      for (let k = 0; k < 15; k += 1) {
        const on = (bits >> k) & 1;
        if (k < 8) set(8, k < 6 ? k : k + 1, on); else set(k === 8 ? 7 : 14 - k, 8, on);
        if (k < 8) set(size - 1 - k, 8, on); else set(8, size - 15 + k, on);
      }
      set(8, size - 8, 1);
    };
    form(0);
    if (version > 6) {
      const bits = (version << 12) | remainder(version, 12, 0x1f25, 11);
      for (let k = 0; k < 18; k += 1) {
        const [a, b] = [size - 11 + (k % 3), Math.floor(k / 3)];
        set(a, b, (bits >> k) & 1);
        set(b, a, (bits >> k) & 1);
      }
    }
    const words = codewords(bytes, version);
    const free = [];
    for (let right = size - 1; right > 0; right -= 2) {
      if (right === 6) right = 5;
      for (let k = 0; k < size; k += 1) {
        const y = (right + 1) & 2 ? k : size - 1 - k;
        [right, right - 1].forEach((x) => { if (!fixed[y][x]) free.push([x, y]); });
      }
    }
    free.forEach(([x, y], k) => { dark[y][x] = ((words[k >> 3] || 0) >> (7 - (k & 7))) & 1; });
    const MASKS = [
      (x, y) => (x + y) % 2, (x, y) => y % 2, (x) => x % 3, (x, y) => (x + y) % 3,
      (x, y) => (Math.floor(x / 3) + Math.floor(y / 2)) % 2, (x, y) => ((x * y) % 2) + ((x * y) % 3),
      (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2, (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2,
    ];
    const turned = (mask) => free.forEach(([x, y]) => { dark[y][x] ^= Number(!MASKS[mask](x, y)); });
    const uneven = () => {
      const rows = [...dark, ...dark.map((_, x) => dark.map((row) => row[x]))].map((row) => row.join(""));
      let bad = 0;
      rows.forEach((row) => {
        (row.match(/0{5,}|1{5,}/g) || []).forEach((run) => { bad += run.length - 2; });
        bad += 40 * (row.match(/(?=00001011101|10111010000)/g) || []).length;
      });
      for (let y = 1; y < size; y += 1) {
        for (let x = 1; x < size; x += 1) bad += 3 * (dark[y][x] === dark[y - 1][x] && dark[y][x] === dark[y][x - 1] && dark[y][x] === dark[y - 1][x - 1]);
      }
      const share = dark.flat().filter(Boolean).length / (size * size);
      return bad + 10 * Math.floor(Math.abs(share - 0.5) * 20);
    };
    let [best, least] = [0, Infinity];
    MASKS.forEach((_, mask) => {
      turned(mask);
      form(mask);
      const bad = uneven();
      if (bad < least) [best, least] = [mask, bad];
      turned(mask);
    });
    turned(best);
    form(best);
    return dark;
  };
  const SCAN_BYTES = 450; // so much is still scanned from a screen with ease
  const portions = (lines) => {
    const found = [];
    lines.forEach((line) => {
      const text = `${line}\n`;
      if (!found.length || new TextEncoder().encode(found[found.length - 1] + text).length > SCAN_BYTES) found.push("");
      found[found.length - 1] += text;
    });
    return found;
  };
  const drawn = (text, title) => {
    const dark = square(text);
    const figure = make("figure");
    if (!dark) return figure;
    const quiet = 4;
    const size = dark.length + 2 * quiet;
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
    svg.setAttribute("viewBox", `0 0 ${size} ${size}`);
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", title);
    path.setAttribute("d", dark.flatMap((row, y) => row.map((on, x) => (on ? `M${x + quiet} ${y + quiet}h1v1h-1z` : ""))).join(""));
    svg.append(path);
    figure.append(svg, make("figcaption", title));
    return figure;
  };
  const carry = one("#carry");
  const count = () => {
    if (!carry) return;
    const found = states();
    carry.hidden = !found.length;
    one("#scans").replaceChildren();
    one("output", carry).textContent = `${found.length} ${found.length === 1 ? "wire" : "wires"} ticked on this device`;
    one("textarea", carry).value = found.length ? `${found.join("\n")}\n` : "";
  };
  if (carry) {
    one("#scan").addEventListener("click", () => {
      const texts = portions(states());
      one("#scans").replaceChildren(...texts.map((text, k) => drawn(text, `Picture ${k + 1} of ${texts.length}: ${text.trim().split("\n").length} wires, as lines of text`)));
    });
    one("button", carry).addEventListener("click", async () => {
      const text = one("textarea", carry);
      text.select();
      try { await navigator.clipboard.writeText(text.value); } catch (error) { document.execCommand("copy"); }
    });
    count();
  }

  // -- find -------------------------------------------------------------------------------------

  const input = one("#search");
  const results = one("#results");
  const told = one("#found");
  const pairs = (text) => {
    const made = new Set();
    for (let k = 0; k < text.length - 1; k += 1) made.add(text.slice(k, k + 2));
    return made;
  };
  const alike = (a, b) => {
    const [x, y] = [pairs(a), pairs(b)];
    if (!x.size || !y.size) return 0;
    let both = 0;
    x.forEach((pair) => { if (y.has(pair)) both += 1; });
    return (2 * both) / (x.size + y.size);
  };
  const ORDER = { circuit: 6, equipment: 6, wire: 5, contact: 5, connector: 5, way: 4, place: 4, sheet: 4, section: 3, finding: 2 };
  const score = (entry, asked, words) => {
    const name = plain(entry.name);
    const bonus = (ORDER[entry.kind] || 0) / 10;
    if (name === asked || plain(entry.title) === asked) return 100 + bonus;
    if (name.startsWith(asked) || entry.words.startsWith(asked)) return 80 + bonus - name.length / 1000;
    if (!words.every((word) => entry.words.includes(word))) return 0;
    const starts = words.filter((word) => ` ${entry.words}`.includes(` ${word}`)).length;
    return 40 + 10 * (starts / words.length) + bonus - entry.words.length / 1000;
  };
  const MOST = 12;
  const search = async () => {
    const asked = plain(input.value);
    if (!asked) { results.hidden = true; results.replaceChildren(); told.textContent = ""; input.setAttribute("aria-expanded", "false"); return; }
    const known = await index();
    if (plain(input.value) !== asked) return;
    const every = [...known.cards, ...known.more];
    const words = asked.split(/[\s.,]+/).filter(Boolean);
    let hits = every.map((entry) => [score(entry, asked, words), entry]).filter(([s]) => s > 0);
    let help = "";
    if (!hits.length) {
      hits = every.map((entry) => [Math.max(alike(asked, plain(entry.name)), alike(asked, plain(entry.title))), entry])
        .filter(([s]) => s > 0.45);
      help = hits.length ? "Nothing has that name. Near to it:" : "Nothing is found.";
    }
    hits.sort((a, b) => b[0] - a[0]);
    const shown = hits.slice(0, MOST).map(([, entry], k) => {
      const row = make("li");
      row.id = `result-${k}`;
      row.setAttribute("role", "option");
      row.append(make("b", entry.name), ` ${entry.name === entry.title ? "" : entry.title} `, make("span", entry.kind, "unit"));
      row.addEventListener("click", () => take(entry));
      row.entry = entry;
      return row;
    });
    results.replaceChildren(...shown);
    results.hidden = !shown.length;
    input.setAttribute("aria-expanded", String(shown.length > 0));
    told.textContent = help || (hits.length > MOST ? `${MOST} of ${hits.length}` : `${hits.length} found`);
    choose(help && !shown.length ? -1 : 0);
  };
  let chosen = -1;
  const choose = (number) => {
    const rows = all("li", results);
    chosen = rows.length ? (number + rows.length) % rows.length : -1;
    rows.forEach((row, k) => row.setAttribute("aria-selected", String(k === chosen)));
    if (chosen < 0) { input.removeAttribute("aria-activedescendant"); return; }
    input.setAttribute("aria-activedescendant", rows[chosen].id);
    rows[chosen].scrollIntoView({ block: "nearest" });
  };
  const take = (entry) => {
    results.hidden = true;
    input.setAttribute("aria-expanded", "false");
    if (entry.said) { index().then((known) => display(entry, known, input)); return; }
    if (entry.id) { window.location.hash = `#${entry.id}`; follow(); return; }
    from = input;
    show(entry.name, input);
  };
  if (input) {
    one(".search").hidden = false;
    input.addEventListener("input", search);
    input.addEventListener("focus", index, { once: true });
    input.addEventListener("keydown", (event) => {
      if (event.key === "ArrowDown") { event.preventDefault(); choose(chosen + 1); }
      if (event.key === "ArrowUp") { event.preventDefault(); choose(chosen - 1); }
      const row = all("li", results)[chosen];
      if (event.key === "Enter" && row) { event.preventDefault(); take(row.entry); }
    });
  }
  document.addEventListener("keydown", (event) => {
    if (event.key === "/" && !event.target.closest("input, textarea") && input) { event.preventDefault(); input.focus(); }
    if ((event.key === "Enter" || event.key === " ") && event.target.closest("svg .to")) {
      event.preventDefault();
      show(event.target.closest(".to").dataset.to, event.target);
    }
    if (event.key !== "Escape") return;
    if (results && !results.hidden) { results.hidden = true; input.setAttribute("aria-expanded", "false"); return; }
    away();
    all("details.why[open]").forEach((why) => { why.open = false; });
  });

  // -- paper ------------------------------------------------------------------------------------

  window.addEventListener("beforeprint", () => {
    whole();
    const template = document.createElement("template");
    for (let left = all("noscript.held"); left.length; left = all("noscript.held")) {
      left.forEach((holder) => {
        template.innerHTML = holder.textContent;
        holder.replaceWith(template.content);
      });
    }
    all("section.closed").forEach((section) => section.classList.remove("closed"));
  });
  const press = one("#print");
  if (press) {
    press.hidden = false;
    press.addEventListener("click", async () => {
      press.disabled = true;
      await everything(() => true);
      all("section.closed").forEach((section) => section.classList.remove("closed"));
      press.disabled = false;
      window.print();
    });
  }

  // -- beside the editor: what a save changed, and what is new in the page -----------------------

  const partsOf = async (where) => JSON.parse(await unpack(one("script#parts", where)));
  const listen = async () => {
    const box = one("#news");
    let shown = Number(document.body.dataset.live);
    let sums = await partsOf(document);
    const said = (news) => {
      const bad = news.mistakes.length > 0;
      const going = news.before && !bad;
      box.hidden = !going && !bad && !news.changed.length;
      box.classList.toggle("fail", bad);
      const head = bad ? "Not read; the last good page stays" : "What the last save changed";
      const rows = make("ul");
      (bad ? news.mistakes : news.changed).forEach((text) => rows.append(make("li", text)));
      const close = make("button", "Close");
      close.type = "button";
      close.addEventListener("click", () => { box.hidden = true; });
      const far = [];
      if (going) {
        const left = news.of - news.asked;
        const what = !news.of ? "Saved. Sizes and margins are computed again."
          : left ? `${news.changed.length ? "This so far" : "Nothing so far"}: ${left} of ${news.of} checks are not asked again yet.`
            : "All checks are asked again; the page below follows.";
        far.push(make("p", what, "so-far"));
      }
      box.replaceChildren(close, make("b", head), make("span", ` ${news.took} s`, "unit"), ...far, rows);
      box.dataset.took = news.took;
    };
    // Where the reader is: what begins at the top of what he sees, and how far from the top it is.
    const place = () => {
      const top = box.hidden ? 0 : Math.max(0, box.getBoundingClientRect().bottom);
      const at = all("main [id]").find((part) => part.getClientRects().length && part.getBoundingClientRect().top >= top);
      return at ? [at.id, at.getBoundingClientRect().top] : null;
    };
    const back = (was) => {
      const at = was && document.getElementById(was[0]);
      if (at) window.scrollBy(0, at.getBoundingClientRect().top - was[1]);
    };
    const staying = (change) => {
      const was = window.scrollY ? place() : null;
      change();
      back(was);
    };
    const mark = (before) => {
      if (before !== document.body.classList.contains("before")) staying(() => document.body.classList.toggle("before", before));
    };
    // Which words of a section are chosen, and the same of a later one, those nearest to where they stood.
    const within = (section, node, offset) => {
      const range = document.createRange();
      range.setStart(section, 0);
      range.setEnd(node, offset);
      return range.toString().length;
    };
    const chosen = (section) => {
      const range = document.getSelection().rangeCount ? document.getSelection().getRangeAt(0) : null;
      if (!range || range.collapsed || !section.contains(range.commonAncestorContainer)) return null;
      const from_ = within(section, range.startContainer, range.startOffset);
      return { from: from_, text: range.toString() };
    };
    const choose_ = (section, was) => {
      const text = section.textContent;
      const [behind, ahead] = [text.indexOf(was.text, was.from), text.lastIndexOf(was.text, was.from)];
      if (behind < 0 && ahead < 0) return;
      const near = behind < 0 || (ahead >= 0 && was.from - ahead < behind - was.from) ? ahead : behind;
      const walker = document.createTreeWalker(section, NodeFilter.SHOW_TEXT);
      const range = document.createRange();
      const [first, last] = [near, near + was.text.length];
      for (let at = 0; walker.nextNode(); at += walker.currentNode.length) {
        const [node, end] = [walker.currentNode, at + walker.currentNode.length];
        if (at <= first && first < end) range.setStart(node, first - at);
        if (at < last && last <= end) { range.setEnd(node, last - at); break; }
      }
      document.getSelection().removeAllRanges();
      document.getSelection().addRange(range);
    };
    const asks = (bar) => {
      const fields = all("select, input", bar).filter((field) => field.value);
      return new URLSearchParams(fields.map((field) => [field.name, field.value]));
    };
    const take = async (section, fresh, known) => {
      const open_ = section.classList.contains("folds") && !section.classList.contains("closed");
      const words = chosen(section);
      const details = all("details:not(.narrow)", section).map((one_) => one_.open);
      const bars_ = all("details.narrow", section).map((bar) => asks(bar));
      const around = document.createDocumentFragment();
      around.append(fresh);
      if (!fresh.matches(".folds")) name(fresh, known);
      equip(around);
      section.replaceWith(around);
      if (!fresh.matches(".folds")) narrow(fresh, known);
      if (open_ && fresh.matches(".closed")) await open(fresh);
      const now = all("details:not(.narrow)", fresh);
      if (now.length === details.length) now.forEach((one_, k) => { one_.open = details[k]; });
      all("details.narrow", fresh).forEach((bar, k) => {
        const set = bars.get(bar.parentElement);
        if (set && bars_[k] && [...bars_[k].keys()].length) set(bars_[k]);
      });
      if (words) choose_(fresh, words);
    };
    // Takes over from the later page every part that is not the same in this one.
    const renew = async () => {
      // In an element of this page what noscript holds stays text, as in the page itself; in a template
      // it would be read there, and what it holds escaped would be read a second time.
      const later = make("div");
      later.innerHTML = await (await fetch("/")).text();
      if (one("noscript > *", later)) throw new Error("noscript was read");
      const number = Number(one("script#parts", later).dataset.page);
      const fresh = await partsOf(later);
      const was = place();
      one("style").textContent = one("style", later).textContent;
      [".masthead", "details.toc", "footer p"].forEach((what) => one(what).replaceWith(one(what, later)));
      one("script#index").replaceWith(one("script#index", later));
      indexed = null;
      const known = await index();
      const old = new Map(all("main > section").map((section) => [section.id, section]));
      let last = null;
      for (const section of all("main > section", later)) {
        let here = old.get(section.id);
        old.delete(section.id);
        if (!here) {
          here = make("section");
          if (last) last.after(here); else one("main").prepend(here);
        }
        const same = fresh[section.id] === sums[section.id];
        if (!same) await take(here, section, known);
        last = same ? here : section;
      }
      old.forEach((section) => section.remove());
      sums = fresh;
      if (card && !card.hidden && lit) await show(lit);
      light(lit);
      watch();
      back(was);
      return number;
    };
    // The first screen comes before the rest of its page, answer by answer; those of before say so.
    const early = (markup) => {
      const holder = make("div");
      holder.innerHTML = markup;
      const [here, fresh] = [one("#glance"), one("#glance", holder)];
      if (!fresh || !here) return;
      const words = chosen(here);
      const [was, now] = [[...here.children], [...fresh.children]];
      sums.glance = "";
      staying(() => {
        if (was.length !== now.length) here.replaceChildren(...now);
        else was.forEach((part, k) => { if (!part.isEqualNode(now[k])) part.replaceWith(now[k]); });
        here.classList.add("today");
      });
      if (words && !chosen(here)) choose_(here, words);
    };
    let latest = null;
    let taking = false;
    const settle = async () => {
      if (latest.before || latest.page > shown) mark(true);
      if (latest.before) all(".today").forEach((part) => part.classList.remove("today"));
      if (latest.before && latest.glance && !taking) early(latest.glance);
      if (taking) return;
      taking = true;
      try {
        while (latest.page > shown) shown = await renew();
        mark(latest.before);
      } catch (error) { /* it is gone: what stands here stays marked as of before */ }
      taking = false;
    };
    const source = new EventSource("/news");
    source.addEventListener("message", (event) => {
      latest = JSON.parse(event.data);
      if (latest.page < shown) window.location.reload(); // another elec serves here now
      staying(() => said(latest));
      settle();
    });
    source.addEventListener("error", () => {
      mark(true);
      box.hidden = false;
      box.replaceChildren(make("b", "Nothing is heard from elec live: what stands here may be of before the last save."));
    });
  };

  // -- begin ------------------------------------------------------------------------------------

  const contents = one("details.toc");
  if (contents && window.matchMedia("(max-width: 70rem)").matches) contents.open = false;
  equip(one("main"));
  if (one("script#index")) {
    index().then((known) => all("main > section:not(.folds)").forEach((section) => {
      name(section, known);
      narrow(section, known);
    }));
  }
  watch();
  follow();
  if ("live" in document.body.dataset) listen();
})();
