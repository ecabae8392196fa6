// Makes a Railbook page pleasant to move about in: the choice of light or dark,
// the section one is in, folded code, and hidden answers that are printed. All
// of the text is there without it.
(function () {
  'use strict';

  const root = document.documentElement;

  // ---- Light or dark ---------------------------------------------------

  const schemes = ['auto', 'light', 'dark'];
  const key = 'railbook-theme';

  function stored() {
    try { return localStorage.getItem(key); } catch (e) { return null; } // not for a file, in some browsers
  }

  function store(scheme) {
    try { localStorage.setItem(key, scheme); } catch (e) { /* it holds for this reading */ }
  }

  function apply(scheme) {
    if (scheme === 'light' || scheme === 'dark') { root.dataset.theme = scheme; } else { delete root.dataset.theme; }
  }

  apply(stored()); // before anything is painted

  function addThemeSwitch(button) {
    let now = Math.max(0, schemes.indexOf(root.dataset.theme));
    function say() {
      button.firstElementChild.textContent = { auto: '\u25d0', light: '\u25cb', dark: '\u25cf' }[schemes[now]];
      button.lastElementChild.textContent = { auto: 'Theme: as the system', light: 'Theme: light', dark: 'Theme: dark' }[schemes[now]];
    }
    button.addEventListener('click', function () {
      now = (now + 1) % schemes.length;
      apply(schemes[now]);
      store(schemes[now]);
      say();
    });
    say();
  }

  // ---- Code ------------------------------------------------------------

  function addCodeSwitch(button) {
    const all = Array.from(document.querySelectorAll('details.rb-code'));
    if (!all.length) { return; }
    button.hidden = false;
    function open() { return all.some(function (d) { return d.open; }); }
    function say() { button.lastElementChild.textContent = open() ? 'Hide the code' : 'Show the code'; }
    button.addEventListener('click', function () {
      const show = !open();
      all.forEach(function (d) { d.open = show; });
      say();
    });
    all.forEach(function (d) { d.addEventListener('toggle', say); });
    say();
  }

  // ---- Contents --------------------------------------------------------

  const wide = window.matchMedia('(min-width: 78rem)');

  function addContents(box) {
    const links = Array.from(box.querySelectorAll('a'));
    const here = box.querySelector('.rb-here');
    const places = links.map(function (a) { return document.getElementById(a.getAttribute('href').slice(1)); });

    // Beside the text the list is always there; above it, on a phone, it opens
    // on demand and closes again when it has led somewhere.
    function fold() { box.open = wide.matches; }
    wide.addEventListener('change', fold);
    fold();
    links.forEach(function (a) {
      a.addEventListener('click', function () { if (!wide.matches) { box.open = false; } });
    });
    box.querySelector('summary').addEventListener('click', function (e) { if (wide.matches) { e.preventDefault(); } });

    // The current section is the last one whose heading has come near the top.
    let asked = false, current = -1;
    function mark() {
      asked = false;
      let now = -1;
      places.forEach(function (p, i) { if (p && p.getBoundingClientRect().top < 0.25 * window.innerHeight) { now = i; } });
      if (window.innerHeight + window.scrollY >= root.scrollHeight - 2 && now >= 0) { now = places.length - 1; }
      if (now === current) { return; }
      if (links[current]) { links[current].removeAttribute('aria-current'); }
      current = now;
      here.textContent = '';
      if (!links[now]) { return; }
      links[now].setAttribute('aria-current', 'true');
      here.textContent = links[now].textContent;
      if (wide.matches) {
        const list = box.querySelector('ol'), a = links[now].getBoundingClientRect(), l = list.getBoundingClientRect();
        if (a.top < l.top || a.bottom > l.bottom) { list.scrollTop += a.top - l.top - l.height / 3; }
      }
    }
    function ask() { if (!asked) { asked = true; requestAnimationFrame(mark); } }
    window.addEventListener('scroll', ask, { passive: true });
    window.addEventListener('resize', ask);
    mark();
  }

  // ---- Paper -----------------------------------------------------------

  // Answers are printed open. Code stays as it is: who folds it does not want it.
  let opened = [];
  window.addEventListener('beforeprint', function () {
    opened = Array.from(document.querySelectorAll('main details:not(.rb-code):not([open])'));
    opened.forEach(function (d) { d.open = true; });
  });
  window.addEventListener('afterprint', function () {
    opened.forEach(function (d) { d.open = false; });
    opened = [];
  });

  // A link into an answer opens it.
  function reveal() {
    let id = location.hash.slice(1);
    try { id = decodeURIComponent(id); } catch (e) { /* a percent sign of the heading's own */ }
    let at = document.getElementById(id);
    for (; at; at = at.parentElement) { if (at.tagName === 'DETAILS') { at.open = true; } }
  }

  document.addEventListener('DOMContentLoaded', function () {
    const tools = document.querySelector('.rb-tools');
    tools.hidden = false;
    addThemeSwitch(tools.querySelector('.rb-theme'));
    addCodeSwitch(tools.querySelector('.rb-fold'));
    const contents = document.getElementById('contents');
    if (contents) { addContents(contents); }
    window.addEventListener('hashchange', reveal);
    reveal();
  });
})();
