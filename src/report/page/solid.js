// The part, to turn: triangles and edges from the page's own data, drawn by WebGL without any library. Orthographic, as
// on a drawing, so that a leader's foot stays exact. Without WebGL nothing happens and the plan stays in its place.
(function () {
  var holder = document.getElementById('solid');
  var source = document.getElementById('solid-data');
  if (!holder || !source) return;
  var stage = holder.querySelector('.stage'), canvas = holder.querySelector('canvas');
  var gl = null;
  try { gl = canvas.getContext('webgl', {antialias: true, alpha: false, preserveDrawingBuffer: true}); } catch (e) { gl = null; }
  if (!gl) return;
  var data = JSON.parse(source.textContent);

  function bytes(text) {
    var raw = atob(text), out = new Uint8Array(raw.length);
    for (var i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
    return out.buffer;
  }
  // Coordinates come as 16-bit steps of the part's box; the middle of the box is the point that it turns about.
  var low = data.low, size = data.size, middle = [low[0] + size[0] / 2, low[1] + size[1] / 2, low[2] + size[2] / 2];
  function places(text) {
    var q = new Uint16Array(bytes(text)), out = new Float32Array(q.length);
    for (var i = 0; i < q.length; i++) { var a = i % 3; out[i] = low[a] + q[i] / 65535 * size[a] - middle[a]; }
    return out;
  }
  var points = places(data.points), lines = places(data.lines);
  var index = data.wide ? new Uint32Array(bytes(data.triangles)) : new Uint16Array(bytes(data.triangles));

  // One copy of each corner per face, its normal the mean over that face alone: round walls look round, edges sharp.
  var count = index.length, position = new Float32Array(count * 3), normal = new Float32Array(count * 3);
  var owner = new Float32Array(count), colour = new Uint8Array(count * 4);
  function hex(text) { return [parseInt(text.slice(1, 3), 16), parseInt(text.slice(3, 5), 16), parseInt(text.slice(5, 7), 16)]; }
  (function () {
    var at = 0;
    for (var f = 0; f < data.faces.length; f += 2) {
      var detail = data.faces[f], end = at + 3 * data.faces[f + 1], sums = {}, i, k;
      var rgb = hex(detail < 0 ? data.plain : data.tints[detail]);
      for (i = at; i < end; i += 3) {
        var a = 3 * index[i], b = 3 * index[i + 1], c = 3 * index[i + 2];
        var ux = points[b] - points[a], uy = points[b + 1] - points[a + 1], uz = points[b + 2] - points[a + 2];
        var vx = points[c] - points[a], vy = points[c + 1] - points[a + 1], vz = points[c + 2] - points[a + 2];
        var n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
        for (k = 0; k < 3; k++) {
          var key = index[i + k], s = sums[key];
          if (s) { s[0] += n[0]; s[1] += n[1]; s[2] += n[2]; } else { sums[key] = n.slice(); }
        }
      }
      for (i = at; i < end; i++) {
        var p = 3 * index[i], m = sums[index[i]], l = Math.hypot(m[0], m[1], m[2]) || 1;
        for (k = 0; k < 3; k++) { position[3 * i + k] = points[p + k]; normal[3 * i + k] = m[k] / l; }
        owner[i] = detail;
        colour.set([rgb[0], rgb[1], rgb[2], 255], 4 * i);
      }
      at = end;
    }
  })();
  var pairs = new Float32Array(function () {
    var out = [], at = 0;
    data.runs.forEach(function (n) {
      for (var i = 0; i + 1 < n; i++) for (var k = 0; k < 6; k++) out.push(lines[3 * (at + i) + k]);
      at += n;
    });
    return out;
  }());
  var blankCorners = [];
  for (var corner = 0; corner < 8; corner++)
    blankCorners.push([0, 1, 2].map(function (a) { return (corner >> a & 1 ? data.blankHigh[a] : data.blankLow[a]) - middle[a]; }));
  var sides = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]];
  var boxFaces = [], boxLines = [];
  sides.forEach(function (s) {
    [0, 1, 2, 0, 2, 3].forEach(function (k) { boxFaces = boxFaces.concat(blankCorners[s[k]]); });
    for (var k = 0; k < 4; k++) boxLines = boxLines.concat(blankCorners[s[k]], blankCorners[s[(k + 1) % 4]]);
  });

  function shader(kind, text) {
    var s = gl.createShader(kind);
    gl.shaderSource(s, text);
    gl.compileShader(s);
    return s;
  }
  var program = gl.createProgram();
  gl.attachShader(program, shader(gl.VERTEX_SHADER,
    'attribute vec3 p;attribute vec3 n;attribute float o;attribute vec4 c;uniform mat3 turn;uniform vec3 scale;uniform vec2 shift;' +
    'varying vec3 vn;varying vec4 vc;varying float vo;' +
    'void main(){vec3 q=turn*p;gl_Position=vec4(q.xy*scale.xy+shift,-q.z*scale.z,1.0);vn=turn*n;vc=c;vo=o;}'));
  gl.attachShader(program, shader(gl.FRAGMENT_SHADER,
    'precision mediump float;varying vec3 vn;varying vec4 vc;varying float vo;uniform float lit;uniform vec4 flat_;' +
    'void main(){if(flat_.a>0.0){gl_FragColor=flat_;return;}vec3 n=normalize(vn);if(!gl_FrontFacing)n=-n;' +
    'float b=0.42+0.42*max(0.0,dot(n,normalize(vec3(-0.35,0.55,0.75))))+0.22*max(0.0,n.z);' +
    'vec3 k=abs(vo-lit)<0.5?mix(vc.rgb,vec3(0.0,0.4,0.78),0.8):vc.rgb;gl_FragColor=vec4(k*b,1.0);}'));
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) return;
  gl.useProgram(program);
  function buffer(values) {
    var b = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, b);
    gl.bufferData(gl.ARRAY_BUFFER, values instanceof Array ? new Float32Array(values) : values, gl.STATIC_DRAW);
    return b;
  }
  var place = {}, where = {};
  ['p', 'n', 'o', 'c'].forEach(function (a) { place[a] = gl.getAttribLocation(program, a); });
  ['turn', 'scale', 'shift', 'lit', 'flat_'].forEach(function (u) { where[u] = gl.getUniformLocation(program, u); });
  var buffers = {p: buffer(position), n: buffer(normal), o: buffer(owner), c: buffer(colour),
                 lines: buffer(pairs), boxFaces: buffer(boxFaces), boxLines: buffer(boxLines)};
  function bind(name, b, width, kind, normalised) {
    gl.bindBuffer(gl.ARRAY_BUFFER, b);
    gl.enableVertexAttribArray(place[name]);
    gl.vertexAttribPointer(place[name], width, kind || gl.FLOAT, !!normalised, 0, 0);
  }

  var kViews = {tilted: [-0.42, -0.95], outer: [0, 0], back: [0, Math.PI]};
  var yaw = kViews.tilted[0], pitch = kViews.tilted[1], zoom = 1, lit = -9, ghost = false;
  var matrix, scale = 1, centre = [0, 0];
  function look() {
    var cy = Math.cos(yaw), sy = Math.sin(yaw), cp = Math.cos(pitch), sp = Math.sin(pitch);
    // Rows: to the right, up, towards the reader.
    matrix = [[cy, -sy, 0], [cp * sy, cp * cy, -sp], [sp * sy, sp * cy, cp]];
  }
  function turned(v) {
    return matrix.map(function (row) { return row[0] * v[0] + row[1] * v[1] + row[2] * v[2]; });
  }
  function onStage(v) {
    var q = turned(v);
    return [centre[0] + q[0] * scale, centre[1] - q[1] * scale, q[2]];
  }

  var tags = Array.prototype.slice.call(holder.querySelectorAll('.tag'));
  var leaders = holder.querySelector('svg.leaders');
  var half = [size[0] / 2, size[1] / 2, size[2] / 2];
  function corners() {
    if (ghost) return blankCorners;
    var out = [];
    for (var i = 0; i < 8; i++) out.push([0, 1, 2].map(function (a) { return (i >> a & 1 ? 1 : -1) * half[a]; }));
    return out;
  }

  // Middles along a row as near to the wanted ones as labels kept apart allow: falling stretches are pooled.
  function spread(wanted, left, right, width) {
    var pools = [], out = [];
    wanted.forEach(function (w, i) {
      pools.push({sum: w - i * width, n: 1});
      while (pools.length > 1) {
        var b = pools[pools.length - 1], a = pools[pools.length - 2];
        if (a.sum / a.n <= b.sum / b.n) break;
        a.sum += b.sum; a.n += b.n; pools.pop();
      }
    });
    var least = left + width / 2, most = right - width / 2 - (wanted.length - 1) * width;
    pools.forEach(function (pool) {
      for (var k = 0; k < pool.n; k++) out.push(Math.max(least, Math.min(pool.sum / pool.n, most)) + out.length * width);
    });
    return out;
  }
  function side(a, b, c) { return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]); }
  function cross(a, b, c, d) {
    var s = side(a, b, c), t = side(a, b, d), u = side(c, d, a), v = side(c, d, b);
    return s * t < 0 && u * v < 0;
  }
  var width = 0, height = 0, tagWidth = 0, tagHeight = 0;
  function measure() {
    width = stage.clientWidth;
    height = stage.clientHeight;
    tagWidth = tagHeight = 0;
    tags.forEach(function (t) {
      t.hidden = false;
      tagWidth = Math.max(tagWidth, t.offsetWidth + 6);
      tagHeight = Math.max(tagHeight, t.offsetHeight);
    });
    var dense = Math.min(window.devicePixelRatio || 1, 2);
    canvas.width = Math.max(1, Math.round(width * dense));
    canvas.height = Math.max(1, Math.round(height * dense));
  }
  function label() {
    var perRow = Math.max(1, Math.floor(width / Math.max(1, tagWidth)));
    var shown = [];
    tags.forEach(function (t) {
      var spots = data.anchors[t.getAttribute('data-d')];
      t.hidden = !spots || shown.length >= 2 * perRow;
      if (t.hidden) return;
      // A detail that goes through has a spot on each side: the one that looks at the reader is taken.
      var best = spots[0], towards = -2;
      spots.forEach(function (s) {
        var z = turned(s.slice(3))[2];
        if (z > towards + 1e-6) { towards = z; best = s; }
      });
      shown.push({tag: t, foot: onStage([best[0] - middle[0], best[1] - middle[1], best[2] - middle[2]]), away: towards < -0.02});
    });
    shown.sort(function (a, b) { return a.foot[1] - b.foot[1]; });
    // The rows stay near the part: leaders are there to be followed.
    var far = Infinity, near = -Infinity, reach = Math.min(46, height * 0.1);
    corners().forEach(function (c) { var y = onStage(c)[1]; far = Math.min(far, y); near = Math.max(near, y); });
    var above = Math.max(tagHeight, Math.min(height / 2, far - reach)), below = Math.min(height - tagHeight, Math.max(height / 2, near + reach));
    var upper = Math.ceil(shown.length / 2), ends = [];
    [shown.slice(0, upper), shown.slice(upper)].forEach(function (row, second) {
      row.sort(function (a, b) { return a.foot[0] - b.foot[0]; });
      spread(row.map(function (s) { return s.foot[0]; }), 0, width, tagWidth).forEach(function (x, i) {
        ends.push({who: row[i], x: x, y: second ? below : above, below: second});
      });
    });
    // A crossing pair is mended by swapping its labels, which shortens the sum of the leaders: mending ends.
    for (var again = true, rounds = 0; again && rounds < 200; rounds++) {
      again = false;
      for (var i = 0; i < ends.length; i++) for (var j = i + 1; j < ends.length; j++) {
        if (cross(ends[i].who.foot, [ends[i].x, ends[i].y], ends[j].who.foot, [ends[j].x, ends[j].y])) {
          var w = ends[i].who; ends[i].who = ends[j].who; ends[j].who = w; again = true;
        }
      }
    }
    var marks = '';
    ends.forEach(function (e) {
      var t = e.who.tag, f = e.who.foot, on = Number(t.getAttribute('data-d')) === lit;
      t.style.left = (e.x - t.offsetWidth / 2).toFixed(1) + 'px';
      t.style.top = (e.below ? below : above - t.offsetHeight) + 'px';
      marks += '<path' + (on ? ' class="lit"' : '') + (e.who.away ? ' stroke-dasharray="4 3"' : '') + ' d="M' + f[0].toFixed(1) + ' ' +
        f[1].toFixed(1) + 'L' + e.x.toFixed(1) + ' ' + e.y.toFixed(1) + '"/><circle r="2.4" cx="' + f[0].toFixed(1) + '" cy="' +
        f[1].toFixed(1) + '"' + (e.who.away ? ' class="away"' : '') + '/>';
    });
    leaders.setAttribute('viewBox', '0 0 ' + width + ' ' + height);
    leaders.innerHTML = marks;
  }

  var projected = null;
  function draw() {
    look();
    var left = Infinity, right = -Infinity, top = -Infinity, bottom = Infinity, deep = 0;
    corners().forEach(function (c) {
      var q = turned(c);
      left = Math.min(left, q[0]); right = Math.max(right, q[0]);
      bottom = Math.min(bottom, q[1]); top = Math.max(top, q[1]);
    });
    blankCorners.concat(corners()).forEach(function (c) { deep = Math.max(deep, Math.hypot(c[0], c[1], c[2])); });
    var room = tagHeight + Math.min(34, height * 0.07);
    scale = zoom * Math.min((width - 24) / Math.max(1e-6, right - left), (height - 2 * room) / Math.max(1e-6, top - bottom));
    centre = [width / 2 - (left + right) / 2 * scale, height / 2 + (top + bottom) / 2 * scale];
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(1, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    gl.uniformMatrix3fv(where.turn, false, [matrix[0][0], matrix[1][0], matrix[2][0], matrix[0][1], matrix[1][1], matrix[2][1],
                                            matrix[0][2], matrix[1][2], matrix[2][2]]);
    gl.uniform3f(where.scale, 2 * scale / width, 2 * scale / height, 1 / (1.05 * deep));
    gl.uniform2f(where.shift, 2 * centre[0] / width - 1, 1 - 2 * centre[1] / height);
    gl.uniform1f(where.lit, lit);
    gl.uniform4f(where.flat_, 0, 0, 0, 0);
    bind('p', buffers.p, 3); bind('n', buffers.n, 3); bind('o', buffers.o, 1); bind('c', buffers.c, 4, gl.UNSIGNED_BYTE, true);
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 2);
    gl.drawArrays(gl.TRIANGLES, 0, count);
    gl.disable(gl.POLYGON_OFFSET_FILL);
    ['n', 'o', 'c'].forEach(function (a) { gl.disableVertexAttribArray(place[a]); });
    gl.uniform4f(where.flat_, 0.07, 0.07, 0.07, 1);
    bind('p', buffers.lines, 3);
    gl.drawArrays(gl.LINES, 0, pairs.length / 3);
    if (ghost) {
      gl.enable(gl.BLEND);
      gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
      gl.depthMask(false);
      gl.uniform4f(where.flat_, 0.55, 0.52, 0.46, 0.16);
      bind('p', buffers.boxFaces, 3);
      gl.drawArrays(gl.TRIANGLES, 0, boxFaces.length / 3);
      gl.depthMask(true);
      gl.disable(gl.BLEND);
      gl.uniform4f(where.flat_, 0.35, 0.33, 0.29, 1);
      bind('p', buffers.boxLines, 3);
      gl.drawArrays(gl.LINES, 0, boxLines.length / 3);
    }
    projected = null;
    label();
    holder.setAttribute('data-drawn', String(Number(holder.getAttribute('data-drawn') || 0) + 1));
  }
  var asked = false;
  function ask() {
    if (asked) return;
    asked = true;
    requestAnimationFrame(function () { asked = false; draw(); });
  }

  // The detail under a point of the stage: the nearest triangle that covers it.
  function under(x, y) {
    var i, n = points.length / 3;
    if (!projected) {
      projected = new Float32Array(points.length);
      for (i = 0; i < n; i++) projected.set(onStage([points[3 * i], points[3 * i + 1], points[3 * i + 2]]), 3 * i);
    }
    var best = -Infinity, found = -9, p = projected;
    for (i = 0; i < count; i += 3) {
      var a = 3 * index[i], b = 3 * index[i + 1], c = 3 * index[i + 2];
      var whole = (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]);
      if (!whole) continue;
      var wb = ((x - p[a]) * (p[c + 1] - p[a + 1]) - (y - p[a + 1]) * (p[c] - p[a])) / whole;
      var wc = ((p[b] - p[a]) * (y - p[a + 1]) - (p[b + 1] - p[a + 1]) * (x - p[a])) / whole;
      if (wb < 0 || wc < 0 || wb + wc > 1) continue;
      var z = p[a + 2] + wb * (p[b + 2] - p[a + 2]) + wc * (p[c + 2] - p[a + 2]);
      if (z > best) { best = z; found = owner[i]; }
    }
    return found;
  }

  var sheet = window.chipledgerSheet;
  holder.addEventListener('sheet-lit', function (ev) { lit = ev.detail < 0 ? -9 : ev.detail; ask(); });
  function turn(a, b) { yaw += a; pitch += b; ask(); }
  var held = null, hovered = -9;
  function spot(ev) { var r = stage.getBoundingClientRect(); return [ev.clientX - r.left, ev.clientY - r.top]; }
  canvas.addEventListener('pointerdown', function (ev) {
    held = [ev.clientX, ev.clientY];
    try { canvas.setPointerCapture(ev.pointerId); } catch (e) { held = [ev.clientX, ev.clientY]; }
  });
  canvas.addEventListener('pointermove', function (ev) {
    if (held) {
      turn((ev.clientX - held[0]) * 0.01, (ev.clientY - held[1]) * 0.01);
      held = [ev.clientX, ev.clientY];
      return;
    }
    hover(under.apply(null, spot(ev)));
  });
  function hover(d) {
    if (d === hovered) return;
    if (hovered >= 0) sheet.light(hovered, false);
    hovered = d;
    if (d >= 0) sheet.light(d, true);
  }
  canvas.addEventListener('pointerup', function (ev) {
    if (ev.pointerType !== 'mouse') hover(under.apply(null, spot(ev)));
    held = null;
  });
  canvas.addEventListener('pointercancel', function () { held = null; });
  canvas.addEventListener('pointerleave', function () { if (!held) hover(-9); });
  var kStep = Math.PI / 18;
  stage.addEventListener('keydown', function (ev) {
    if (ev.target !== stage) return;
    var did = true;
    switch (ev.key) {
      case 'ArrowLeft': turn(-kStep, 0); break;
      case 'ArrowRight': turn(kStep, 0); break;
      case 'ArrowUp': turn(0, -kStep); break;
      case 'ArrowDown': turn(0, kStep); break;
      case '+': case '=': zoom = Math.min(8, zoom * 1.2); ask(); break;
      case '-': zoom = Math.max(0.4, zoom / 1.2); ask(); break;
      case 'Home': see('tilted'); break;
      default: did = false;
    }
    if (did) ev.preventDefault();
  });
  function see(name) { yaw = kViews[name][0]; pitch = kViews[name][1]; zoom = 1; ask(); }
  Array.prototype.forEach.call(holder.querySelectorAll('[data-see]'), function (b) {
    b.addEventListener('click', function () { see(b.getAttribute('data-see')); });
  });
  Array.prototype.forEach.call(holder.querySelectorAll('[data-zoom]'), function (b) {
    b.addEventListener('click', function () { zoom = Math.max(0.4, Math.min(8, zoom * Number(b.getAttribute('data-zoom')))); ask(); });
  });
  var box = holder.querySelector('#ghost');
  if (box) box.addEventListener('change', function () { ghost = box.checked; ask(); });
  var plan = document.getElementById('plan'), swap = document.getElementById('flat');
  function show(flat) {
    holder.classList.toggle('flat', flat);
    plan.classList.toggle('spare', !flat);
    if (swap) swap.setAttribute('aria-pressed', String(flat));
    if (!flat) { measure(); ask(); }
  }
  if (swap) swap.addEventListener('click', function () { show(!holder.classList.contains('flat')); });
  window.addEventListener('resize', function () { if (!holder.classList.contains('flat')) { measure(); ask(); } });
  canvas.addEventListener('webglcontextlost', function (ev) { ev.preventDefault(); holder.hidden = true; plan.classList.remove('spare'); });
  holder.hidden = false;
  show(false);
  measure();
  draw();
})();
