// Lighting, the choice of batch, opened numbers. Everything is readable without it.
(function () {
  function all(s, from) { return Array.prototype.slice.call((from || document).querySelectorAll(s)); }
  function light(id, on) {
    all('[data-d="' + id + '"]').forEach(function (e) { e.classList.toggle('lit', on); });
    var solid = document.getElementById('solid');
    if (solid) solid.dispatchEvent(new CustomEvent('sheet-lit', {detail: on ? Number(id) : -1}));
  }
  window.chipledgerSheet = {light: light};
  all('[data-d]').forEach(function (e) {
    var id = e.getAttribute('data-d');
    if (e.tagName !== 'a' && (e.classList.contains('cl-label') || e.tagName === 'TR')) e.setAttribute('tabindex', '0');
    e.addEventListener('mouseenter', function () { light(id, true); });
    e.addEventListener('mouseleave', function () { light(id, false); });
    e.addEventListener('focusin', function () { light(id, true); });
    e.addEventListener('focusout', function () { light(id, false); });
  });
  // A label opens the number of its detail.
  function open(id) {
    var number = document.querySelector('.ladder tr[data-d="' + id + '"] details.n') || document.querySelector('tr[data-d="' + id + '"] details.n');
    if (number) number.open = true;
  }
  all('.tag,g.cl-label').forEach(function (e) {
    e.addEventListener('click', function () { open(e.getAttribute('data-d')); });
    if (e.tagName !== 'BUTTON') e.addEventListener('keydown', function (ev) { if (ev.key === 'Enter') open(e.getAttribute('data-d')); });
  });
  // A figure of a chart or of the drawing opens its number in a table; Escape goes back to the figure.
  var asked = null;
  all('a[href^="#"]').forEach(function (a) {
    a.addEventListener('click', function (ev) {
      var box = document.getElementById(a.getAttribute('href').slice(1)), number = box && box.closest('details.n');
      if (!number) return;
      ev.preventDefault();
      number.open = !number.open || asked !== a;
      asked = a;
      box.setAttribute('tabindex', '-1');
      if (number.open) box.focus({preventScroll: true});
    });
  });
  all('details.n').forEach(function (d) {
    d.addEventListener('toggle', function () {
      if (d.open) all('details.n[open]').forEach(function (o) { if (o !== d) o.open = false; });
    });
  });
  var choice = document.getElementById('batch');
  function show() {
    var b = Number(choice.value);
    all('[data-p]').forEach(function (e) {
      var p = e.getAttribute('data-p').split(' ');
      if (p[b] !== undefined) e.textContent = p[b];
    });
    all('[data-b]').forEach(function (e) { e.classList.toggle('on', Number(e.getAttribute('data-b')) === b); });
    all('[data-only]').forEach(function (e) { e.hidden = Number(e.getAttribute('data-only')) !== b; });
    window.dispatchEvent(new Event('resize'));
  }
  if (choice) { choice.disabled = false; choice.addEventListener('change', show); }
  document.addEventListener('keydown', function (ev) {
    if (ev.key !== 'Escape') return;
    all('details.n[open]').forEach(function (d) {
      var from = asked && d.contains(document.getElementById(asked.getAttribute('href').slice(1))) ? asked : d.querySelector('summary');
      d.open = false;
      from.focus();
    });
    asked = null;
  });
  var opened = [];
  window.addEventListener('beforeprint', function () {
    opened = all('details.n[open]');
    opened.forEach(function (d) { d.open = false; });
  });
  window.addEventListener('afterprint', function () { opened.forEach(function (d) { d.open = true; }); });
})();
