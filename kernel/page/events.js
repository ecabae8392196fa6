// Keeps a page up to date that is looked at while it is being written: it loads
// itself again when its server says so, and shows at its foot what goes on.
(function () {
  'use strict';
  const box = document.querySelector('.rb-state');
  const place = 'railbook-place ' + location.pathname;

  // Where the reader was before the page was loaded again.
  try {
    const at = sessionStorage.getItem(place);
    sessionStorage.removeItem(place);
    if (at !== null) { window.addEventListener('load', function () { window.scrollTo(0, Number(at)); }); }
  } catch (e) { /* then it begins at the top */ }

  const events = new EventSource(box.dataset.events);
  events.addEventListener('state', function (e) { box.textContent = e.data; });
  events.addEventListener('page', function () {
    events.close();
    try { sessionStorage.setItem(place, String(window.scrollY)); } catch (e) { /* see above */ }
    location.reload();
  });
  events.addEventListener('error', function () { box.textContent = 'railbook run --watch has ended.'; });
})();
