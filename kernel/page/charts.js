// Draws the live charts of a Railbook page. Each figure holds a still picture
// and, as JSON, the chart. The chart is drawn unseen, beside the picture, and
// takes its place only when it is complete; if anything fails the picture
// stays and a line under it says why.
(function () {
  'use strict';

  // ---- Tooltips: quantities and units in words -------------------------

  const escapes = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

  function escape(text) {
    return String(text).replace(/[&<>"]/g, function (c) { return escapes[c]; });
  }

  // A number as a person would read it off: four figures, no decimals from
  // a thousand up. Text, such as the label of a category, stays as it is.
  function figures(v) {
    if (v === null || v === undefined || v === '' || v === '-') { return 'no value'; }
    const n = Number(v);
    if (!isFinite(n)) { return String(v); }
    const form = Math.abs(n) >= 1000 ? { maximumFractionDigits: 0 } : { maximumSignificantDigits: 4 };
    return n.toLocaleString('en', form);
  }

  // "Boost 14 psi" of the axis x, the value 14 and the chart's words.
  function quantity(spec, axis, v) {
    const name = (spec.names || {})[axis], unit = (spec.units || {})[axis];
    const text = figures(v);
    const parts = [];
    if (name) { parts.push(name + ' '); }
    parts.push(text);
    if (unit && text !== 'no value') { parts.push('\u00a0' + unit); }
    return escape(parts.join(''));
  }

  function capital(text) {
    return text.charAt(0).toUpperCase() + text.slice(1);
  }

  function first(v) { return Array.isArray(v) ? v[0] : v; }

  // The label of a place on a category axis, of which the data holds the
  // index; on other axes the value itself.
  function label(axis, v) {
    const a = first(axis);
    if (!a || a.type !== 'category' || !Array.isArray(a.data) || typeof v !== 'number') { return v; }
    const item = a.data[v];
    return item !== null && typeof item === 'object' ? item.value : item;
  }

  function points(p) {
    if (Array.isArray(p.value)) { return p.value; }
    return [p.name, p.value];
  }

  // "Boost 14 psi, ethanol 70 %: 412 lb/h" of a point on a surface or map;
  // of a point on a line, or of all lines at one place, a line for each.
  function describe(spec) {
    const option = spec.option;
    return function (params) {
      const list = Array.isArray(params) ? params : [params];
      if (!list.length) { return ''; }
      const v = points(list[0]);
      if (v.length > 2 && !Array.isArray(params)) {
        return capital(quantity(spec, 'x', label(option.xAxis, v[0]))) + ', ' +
          quantity(spec, 'y', label(option.yAxis, v[1])) + ': ' + quantity(spec, 'z', v[2]);
      }
      const lines = list.map(function (p) {
        const name = p.seriesName && p.seriesName.indexOf('series\u0000') !== 0 ? escape(p.seriesName) + ': ' : '';
        return (p.marker || '') + name + quantity(spec, 'y', points(p)[1]);
      });
      return capital(quantity(spec, 'x', label(option.xAxis, v[0]))) + '<br>' + lines.join('<br>');
    };
  }

  // ---- Options ---------------------------------------------------------

  function hasGrid3D(spec) {
    return spec.option.grid3D && !Array.isArray(spec.option.grid3D);
  }

  // A grid in three dimensions is fitted to the height of its box; where the
  // box is narrow the camera has to stand further off.
  function distance(spec, box) {
    const own = (spec.option.grid3D.viewControl || {}).distance || 200;
    return own * Math.max(1, 1.7 * box.clientHeight / Math.max(box.clientWidth, 1));
  }

  // A phone held upright.
  function isNarrow(box) { return box.clientWidth < 480; }

  // The chart's option with what data alone cannot say.
  function prepared(spec, box) {
    const option = Object.assign({}, spec.option);
    if (spec.names || spec.units) {
      const tooltip = Object.assign({ confine: true }, first(option.tooltip));
      if (!tooltip.formatter) { tooltip.formatter = describe(spec); }
      option.tooltip = tooltip;
    }
    // The wheel scrolls the page, unless the chart claims it for itself.
    if (hasGrid3D(spec)) {
      const narrow = isNarrow(box);
      const control = Object.assign({ zoomSensitivity: 0 }, option.grid3D.viewControl, { distance: distance(spec, box) });
      option.grid3D = Object.assign({}, option.grid3D, { viewControl: control });
      if (narrow) { // fewer and smaller labels
        ['xAxis3D', 'yAxis3D', 'zAxis3D'].forEach(function (key) {
          const axis = option[key] || {};
          option[key] = Object.assign({ splitNumber: 3 }, axis, {
            interval: axis.interval && 2 * axis.interval,
            nameGap: Math.max(32, axis.nameGap || 0),
            nameTextStyle: Object.assign({}, axis.nameTextStyle, { fontSize: 11 })
          });
        });
      }
    }
    option.animation = false; // it would play unseen
    return option;
  }

  function hasWebGL() {
    try {
      const gl = document.createElement('canvas').getContext('webgl');
      if (!gl) { return false; }
      const drop = gl.getExtension('WEBGL_lose_context');
      if (drop) { drop.loseContext(); }
      return true;
    } catch (e) {
      return false;
    }
  }

  // ---- Figures ---------------------------------------------------------

  function keepStill(figure, why) {
    figure.dataset.state = 'still';
    figure.dataset.reason = why;
    figure.querySelector('.rb-legend').textContent = 'Still picture: ' + why;
  }

  function goLive(figure, spec, chart) {
    const box = figure.querySelector('.rb-live');
    figure.dataset.state = 'live';
    figure.querySelector('.rb-legend').textContent =
      (spec.layers ? 'Move the slider to change the ' + spec.layers.name + '; point' : spec.gl ? 'Drag to turn; point' : 'Point') +
      ' to read values.';
    const shown = { spec: spec }; // the slider puts another there
    addSlider(figure, spec, chart, shown);
    let narrow = isNarrow(box);
    new ResizeObserver(function () {
      if (box.clientWidth === 0) { return; } // it is being printed
      chart.resize();
      if (!hasGrid3D(shown.spec)) { return; }
      if (narrow === isNarrow(box)) {
        chart.setOption({ grid3D: { viewControl: { distance: distance(shown.spec, box) } } });
      } else { // the phone was turned
        narrow = !narrow;
        chart.setOption(prepared(shown.spec, box), { notMerge: true });
      }
    }).observe(box);
    // A browser takes WebGL away from the oldest of many charts.
    box.addEventListener('webglcontextlost', function () {
      chart.dispose();
      keepStill(figure, 'the browser ran short of graphics memory for the live chart.');
    }, true);
  }

  // Lets the slider of a figure with layers choose which one is shown.
  function addSlider(figure, spec, chart, shown) {
    const input = figure.querySelector('.rb-slider input');
    if (!input || !spec.layers) { return; }
    const output = figure.querySelector('.rb-slider output');
    const box = figure.querySelector('.rb-live');
    let asked = false;
    function show() {
      asked = false;
      const layer = Number(input.value);
      shown.spec = Object.assign({}, spec, { option: spec.layers.options[layer] });
      chart.setOption(prepared(shown.spec, box), { notMerge: true });
    }
    input.addEventListener('input', function () {
      const label = spec.layers.labels[Number(input.value)];
      output.textContent = label;
      input.setAttribute('aria-valuetext', label);
      if (!asked) { asked = true; requestAnimationFrame(show); } // one drawing a frame
    });
  }

  // Draws one figure; if that takes long the picture is there meanwhile.
  function draw(figure) {
    const failed = 'the live chart could not be drawn in this browser.';
    let chart = null;
    try {
      const spec = JSON.parse(figure.querySelector('.rb-data').textContent);
      if (spec.gl && !hasWebGL()) {
        keepStill(figure, 'the live chart needs WebGL, which this browser does not offer.');
        return;
      }
      const box = figure.querySelector('.rb-live');
      chart = echarts.init(box, null, { renderer: 'canvas' });
      chart.on('finished', function once() {
        chart.off('finished', once);
        if (box.querySelector('canvas')) { goLive(figure, spec, chart); } else { keepStill(figure, failed); }
      });
      chart.setOption(prepared(spec, box));
    } catch (e) {
      if (chart) { chart.dispose(); }
      keepStill(figure, failed);
      figure.dataset.exception = String(e);
    }
  }

  // One a frame, so that the page stays responsive.
  const waiting = Array.from(document.querySelectorAll('figure.rb-chart'))
    .filter(function (f) { return f.querySelector('.rb-data'); });

  (function next() {
    const figure = waiting.shift();
    if (figure) { draw(figure); requestAnimationFrame(next); }
  })();
})();
