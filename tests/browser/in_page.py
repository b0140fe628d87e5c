"""Scripts that run in the page. Each returns a list of texts, one for each thing amiss, that name
the element; those that return something else say so."""

# where(element): the element for a message, such as: section#r31 > td.cost "0.012 close"
WHERE = r"""
function name(e) {
  const classes = [...e.classList].map(c => '.' + c).join('');
  return e.localName + (e.id ? '#' + e.id : '') + classes;
}
function where(e) {
  const outer = e.parentElement && e.parentElement.closest('[id],[class]');
  const words = e.getAttribute('aria-label') || e.innerText || e.textContent;
  return (outer ? name(outer) + ' > ' : '') + name(e) + ' "' +
         words.trim().replace(/\s+/g, ' ').slice(0, 50) + '"';
}
"""

OPEN_ANSWERS = "for (const d of document.querySelectorAll('details')) d.open = true;"

# What a reader ticks who wants folds on paper too.
PRINT_ALL = "document.getElementById('print-all').checked = true;"

# Argument: the width that the page was to be laid out for.
OVERFLOW = WHERE + r"""
const wanted = arguments[0], amiss = [];
const root = document.documentElement, scroller = document.scrollingElement;
if (root.clientWidth !== wanted) {
  amiss.push('laid out for ' + root.clientWidth + ' px: no meta viewport?');
}
if (scroller.scrollWidth > wanted) {
  amiss.push('the page scrolls sideways: it is ' + scroller.scrollWidth + ' px wide');
}
for (const e of document.body.querySelectorAll('*')) {
  if (e.parentElement.closest('svg')) continue;
  const box = e.getBoundingClientRect();
  if (box.width === 0 || box.height === 0 || !e.checkVisibility()) continue;
  if (box.right > wanted + 0.5) {
    amiss.push(where(e) + ' sticks out ' + (box.right - wanted).toFixed(1) + ' px on the right');
  }
  if (box.left < -0.5) {
    amiss.push(where(e) + ' sticks out ' + (-box.left).toFixed(1) + ' px on the left');
  }
}
return amiss;
"""

# A line's box has room above and below that few letters fill; upright text may lose some of it.
PICTURE_TEXT = WHERE + r"""
const amiss = [];
for (const text of document.querySelectorAll('svg text')) {
  let svg = text.ownerSVGElement;
  while (svg.ownerSVGElement) svg = svg.ownerSVGElement;
  const inner = text.getBoundingClientRect(), outer = svg.getBoundingClientRect();
  if (inner.width === 0 || !text.checkVisibility()) continue;
  const out = {left: outer.left - inner.left, right: inner.right - outer.right,
               top: outer.top - inner.top, bottom: inner.bottom - outer.bottom};
  const spare = text.getScreenCTM().b === 0 ? 0.15 * inner.height : 0;
  for (const side in out) {
    if (out[side] > 1 + (side === 'top' || side === 'bottom' ? spare : 0)) {
      amiss.push(where(text) + ' sticks out ' + out[side].toFixed(1) + ' px at the ' + side +
                 ' of ' + where(svg));
    }
  }
}
return amiss;
"""

# Headings and cells that are broken so that little is left alone on the last line: less than a third
# of the longest line. What the author wrote is broken as it comes.
LEFT_ALONE = WHERE + r"""
const amiss = [];
for (const e of document.querySelectorAll('h2,h3,th,td,caption,summary,figcaption,.question,dt')) {
  if (!e.checkVisibility()) continue;
  const lines = new Map(), walker = document.createTreeWalker(e, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode, block = text.parentElement.closest(
        'span,b,h2,h3,th,td,caption,summary,figcaption,.question,dt,code');
    const range = document.createRange();
    range.selectNodeContents(text);
    if (!text.data.trim()) continue;
    for (const box of range.getClientRects()) {
      // Parts that are laid out as lines of their own are looked at by themselves.
      const own = getComputedStyle(block).display === 'inline' ? e : block;
      if (!lines.has(own)) lines.set(own, new Map());
      const key = Math.round(box.bottom / 6), line = lines.get(own).get(key);
      lines.get(own).set(key, [Math.min(box.left, line ? line[0] : box.left),
                               Math.max(box.right, line ? line[1] : box.right)]);
    }
  }
  for (const own of lines.values()) {
    const widths = [...own.entries()].sort((a, b) => a[0] - b[0]).map(([, [l, r]]) => r - l);
    const last = widths[widths.length - 1];
    if (widths.length > 1 && last < Math.max(...widths) / 3) {
      amiss.push(where(e) + ' leaves ' + last.toFixed(0) + ' of ' +
                 Math.max(...widths).toFixed(0) + ' px alone on its last line');
    }
  }
}
return amiss;
"""

# Argument: a selector of links. Returns [texts, count]: those that lead nowhere, or to nothing that
# shows when they are followed; and how many links there are.
DEAD_LINKS = WHERE + r"""
const links = [...document.querySelectorAll(arguments[0])];
return [links.filter(a => {
  const to = document.getElementById(decodeURIComponent(a.getAttribute('href').slice(1)));
  return !to || !to.checkVisibility();
}).map(a => where(a) + ' leads nowhere: ' + a.getAttribute('href')), links.length];
"""

STRUCTURE = WHERE + r"""
const amiss = [], all = selector => [...document.querySelectorAll(selector)];
if (document.documentElement.lang !== 'en') amiss.push('html has no lang="en"');
if (document.compatMode !== 'CSS1Compat') amiss.push('no <!DOCTYPE html>');
if (!document.title.trim()) amiss.push('no title');
if (all('h1').length !== 1) amiss.push(all('h1').length + ' h1 elements');
let level = 0;
for (const heading of all('h1,h2,h3,h4,h5,h6')) {
  const next = Number(heading.localName[1]);
  if (next > level + 1) amiss.push(where(heading) + ' follows a heading of level ' + level);
  if (!heading.textContent.trim()) amiss.push(where(heading) + ' is empty');
  level = next;
}
for (const table of all('table')) {
  if (!table.querySelector('th')) amiss.push(where(table) + ' has no th');
}
const foreign = 'script,link,iframe,object,embed,img:not([src^="data:"]),audio,video,source';
for (const e of all(foreign)) amiss.push(where(e) + ' does not belong into the page');
for (const svg of all('svg')) {
  if (svg.closest('[aria-hidden="true"]') || svg.parentElement.closest('svg')) continue;
  const role = svg.querySelector('a') ? 'group' : 'img';
  if (svg.getAttribute('role') !== role) amiss.push(where(svg) + ' has no role="' + role + '"');
  if (!(svg.getAttribute('aria-label') || '').trim()) amiss.push(where(svg) + ' has no aria-label');
}
for (const details of all('details')) {
  if (details.firstElementChild?.localName !== 'summary') {
    amiss.push(where(details) + ' does not begin with its summary');
  }
}
return amiss;
"""

# Returns {pointers, value, scale, rounded, text, where} for each number that names its place in the
# JSON, or the places of several that add up to it.
NUMBERS = WHERE + r"""
return [...document.querySelectorAll('data[data-json]')].map(e => ({
  pointers: e.getAttribute('data-json').split(' '), value: e.getAttribute('value'),
  text: e.textContent, scale: e.getAttribute('data-scale') ?? '1',
  rounded: e.getAttribute('data-rounded') ?? 'nearest', where: where(e)}));
"""

# Visible to a reader: laid out, and not in the hidden part of closed details.
_SHOWN = r"""
function shown(e) {
  const box = e.getBoundingClientRect();
  return box.width > 0 && box.height > 0 && e.checkVisibility(
      {contentVisibilityAuto: true, opacityProperty: true, visibilityProperty: true});
}
"""

# What a reader of the quiz sees without opening anything.
GIVEN_AWAY = WHERE + _SHOWN + r"""
const amiss = [];
for (const d of document.querySelectorAll('details')) {
  if (d.open) amiss.push(where(d) + ' is open from the start');
  for (const e of d.children) {
    if (e.localName !== 'summary' && shown(e)) amiss.push(where(e) + ' shows before it is opened');
  }
}
for (const e of document.querySelectorAll('data[data-json*="/plays/"]')) {
  if (!e.closest('details')) amiss.push(where(e) + ' stands outside the answers');
}
return amiss;
"""

# Returns whether a picture of a board's size comes before the first answer; dice are smaller.
PICTURE_FIRST = r"""
const answer = document.querySelector('details');
return [...document.querySelectorAll('svg')].some(svg =>
    svg.getBoundingClientRect().width >= 200 &&
    !svg.closest('details') &&
    svg.compareDocumentPosition(answer) & Node.DOCUMENT_POSITION_FOLLOWING);
"""

# Returns which of the details has its summary in focus, -1 for none.
FOCUSED_ANSWER = r"""
const all = [...document.querySelectorAll('details')];
return all.findIndex(d => d.querySelector('summary') === document.activeElement);
"""

# Argument: the number of a details; what of its content cannot be seen though it was opened.
UNSEEN_ANSWER = WHERE + _SHOWN + r"""
const details = document.querySelectorAll('details')[arguments[0]];
if (!details.open) return [where(details) + ' stays closed'];
const content = [...details.children].filter(e => e.localName !== 'summary');
if (content.length === 0) return [where(details) + ' has no content beside its summary'];
return content.filter(e => !shown(e)).map(e => where(e) + ' is not visible');
"""

# Argument: whether the scheme is dark. Colours are read back from a canvas, so that every notation
# of CSS works; over a gradient or a picture nothing is said. Text in pictures is left out, since
# what lies behind it is a matter of geometry. Large text may have 3 as WCAG has it, all else 4.5.
CONTRAST = WHERE + r"""
const dark = arguments[0], amiss = [];
const canvas = document.createElement('canvas');
canvas.width = canvas.height = 1;
const paint = canvas.getContext('2d', {willReadFrequently: true});
function rgba(css) {
  paint.clearRect(0, 0, 1, 1);
  paint.fillStyle = css;
  paint.fillRect(0, 0, 1, 1);
  const [r, g, b, a] = paint.getImageData(0, 0, 1, 1).data;
  return [r, g, b, a / 255];
}
function over(top, below, opacity = 1) {
  const a = top[3] * opacity;
  return [0, 1, 2].map(i => top[i] * a + below[i] * (1 - a)).concat(1);
}
function luminance(c) {
  const [r, g, b] = c.map(v => v / 255).map(
      v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
const probe = document.documentElement.appendChild(document.createElement('i'));
probe.style.background = 'Canvas';
const paper = rgba(getComputedStyle(probe).backgroundColor);
probe.remove();
function behind(e) {  // null if not a plain colour
  const style = getComputedStyle(e);
  const below = e.parentElement ? behind(e.parentElement) : paper;
  const own = rgba(style.backgroundColor);
  if (style.backgroundImage !== 'none') return null;
  if (own[3] === 1) return own;
  return below && over(own, below);
}
function check(e) {
  const style = getComputedStyle(e), ground = behind(e);
  if (!ground) return;
  let opacity = 1;
  for (let outer = e; outer; outer = outer.parentElement) {
    opacity *= getComputedStyle(outer).opacity;
  }
  const ink = over(rgba(style.color), ground, opacity);
  const [low, high] = [luminance(ink), luminance(ground)].sort((a, b) => a - b);
  const size = parseFloat(style.fontSize), bold = Number(style.fontWeight) >= 700;
  const needed = size >= 24 || (bold && size >= 18.66) ? 3 : 4.5;
  const contrast = (high + 0.05) / (low + 0.05);
  if (contrast < needed) {
    amiss.push(where(e) + ' has contrast ' + contrast.toFixed(2) + ', ' + style.color + ' on rgb(' +
               ground.slice(0, 3).map(Math.round) + ')');
  }
}
const ground = behind(document.body), ink = rgba(getComputedStyle(document.body).color);
if (ground && luminance(ground) < 0.1 !== dark) {
  amiss.push('body has the background rgb(' + ground.slice(0, 3).map(Math.round) + ')');
}
if (luminance(ink) > 0.4 !== dark) amiss.push('body has text of rgb(' + ink.slice(0, 3) + ')');
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), seen = new Set();
while (walker.nextNode()) {
  const e = walker.currentNode.parentElement;
  if (seen.has(e) || !walker.currentNode.data.trim() || e.closest('svg,style,script')) continue;
  seen.add(e);
  if (e.checkVisibility({visibilityProperty: true})) check(e);
}
return amiss;
"""
