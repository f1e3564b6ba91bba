"use strict";
(() => {
  const entries = [...document.querySelectorAll(".entry")];
  const words = entries.map((entry) => entry.textContent.toLowerCase().replace(/\u00a0/g, " "));
  const box = document.querySelector(".search");
  const input = document.getElementById("search");
  const found = document.getElementById("found");
  const folded = [...document.querySelectorAll("details.passes")];

  const search = () => {
    const wanted = input.value.toLowerCase().split(/\s+/).filter(Boolean);
    let count = 0;
    entries.forEach((entry, k) => {
      const hit = wanted.every((word) => words[k].includes(word));
      entry.classList.toggle("away", !hit);
      if (hit) count += 1;
    });
    document.body.classList.toggle("searching", wanted.length > 0);
    if (wanted.length) folded.forEach((one) => { one.open = true; });
    found.textContent = wanted.length ? `${count} of ${entries.length} entries` : "";
  };
  box.hidden = false;
  input.addEventListener("input", search);

  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    document.querySelectorAll("details.why[open]").forEach((one) => { one.open = false; });
  });
  document.querySelectorAll("details.why .panel").forEach((panel) => {
    const close = document.createElement("button");
    close.type = "button";
    close.textContent = "Close";
    close.addEventListener("click", () => { panel.parentElement.open = false; });
    panel.prepend(close);
  });

  document.querySelectorAll("details.why .panel a[href^='#w']").forEach((link) => {
    const why = link.closest("details.why");
    why.addEventListener("toggle", () => {
      const home = document.getElementById(link.hash.slice(1));
      if (!why.open || !link.isConnected || !home) return;
      const shown = home.cloneNode(true);
      shown.removeAttribute("id");
      link.replaceWith(link.textContent);
      why.querySelector(".panel").append(shown);
    });
  });
  const reveal = () => {
    const home = window.location.hash && document.getElementById(window.location.hash.slice(1));
    const around = home && home.closest("details");
    if (around) { around.open = true; home.scrollIntoView(); }
  };
  window.addEventListener("hashchange", reveal);
  reveal();

  const narrow = window.matchMedia("(max-width: 70rem)");
  const contents = document.querySelector("details.toc");
  if (narrow.matches) contents.open = false;

  let kept = null;
  try { kept = window.localStorage; } catch (error) { kept = null; }
  const key = (tick) => `elec|${document.body.dataset.book}|${tick.dataset.tick}`;
  document.querySelectorAll("input[data-tick]").forEach((tick) => {
    if (!kept) return;
    try { tick.checked = kept.getItem(key(tick)) === "yes"; } catch (error) { return; }
    tick.addEventListener("change", () => {
      try {
        if (tick.checked) kept.setItem(key(tick), "yes"); else kept.removeItem(key(tick));
      } catch (error) { /* a full or closed store keeps nothing; the pen still does */ }
    });
  });
})();
