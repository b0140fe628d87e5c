#include "report/page/sheet_style.h"

namespace sixfold {

const char* sheet_style() noexcept {
  return R"(
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 1080px; padding: 16px; background: var(--paper);
  color: var(--ink); font: 16px/1.45 system-ui, "DejaVu Sans", sans-serif; overflow-wrap: break-word; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: .4em 0; } h2 { font-size: 1.35rem; margin: 1.4em 0 .4em; }
h3 { font-size: 1.15rem; margin: .2em 0; } h4 { font-size: 1.02rem; margin: .3em 0; }
p { margin: .4em 0; } a { color: inherit; }
.notes { border-left: 4px solid var(--change); padding-left: 12px; max-width: 46em; }
.words { max-width: 46em; } .aside, figcaption, caption { color: var(--muted); font-size: .86rem; }
.panel { background: var(--panel); border: 1px solid var(--line); border-radius: 10px;
  padding: 14px 16px; margin: 14px 0; }
.panel > h2:first-child { margin-top: 0; }
figure { margin: 8px 0; min-width: 0; } figcaption { margin-top: 4px; }
figcaption b { color: var(--ink); }
svg { display: block; width: 100%; height: auto; } .main-board { max-width: 600px; }
.chart { max-width: 440px; } .facts { max-width: 660px; }
.roll { display: flex; align-items: center; gap: 12px; } .dice { width: 62px; flex: none; }
.boards, .pair { display: grid; gap: 12px 24px; grid-template-columns: 1fr; }
.pair > div { min-width: 0; }
.score { border-top: 1px solid var(--line); padding-top: 8px; margin-top: 14px; }
table { border-collapse: collapse; width: 100%; font-size: .86rem; margin: 8px 0;
  font-variant-numeric: tabular-nums; }
caption { text-align: left; padding-bottom: 2px; }
th, td { text-align: right; vertical-align: top; padding: 3px 0 3px 8px;
  border-bottom: 1px solid var(--line); font-weight: 400; }
th:first-child { text-align: left; padding-left: 0; } thead th { font-weight: 600; }
mark { background: none; color: inherit; font-weight: 700; }
.chip { display: inline-block; width: .8em; height: .8em; margin-right: .4em; border-radius: 2px; }
.plays { list-style: none; padding: 0; margin: 6px 0; }
.glance td, .glance th { text-align: left; padding: 6px 10px 6px 0; }
.glance b, .glance span { display: block; } .glance .next, .glance .sure { font-size: .8rem; }
.glance .sure { color: var(--muted); }
details { margin: 10px 0; } summary { cursor: pointer; font-weight: 600; padding: 8px 12px;
  border: 1px solid var(--line); border-radius: 8px; background: var(--panel); }
summary:focus-visible { outline: 3px solid var(--change); outline-offset: 2px; }
dl { display: grid; grid-template-columns: minmax(7em, 12em) 1fr; gap: 4px 16px; font-size: .86rem; margin: 0; }
dt { font-weight: 600; } dd { margin: 0; }
pre, code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: .82rem; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; margin: 4px 0; }
@media (min-width: 480px), print { td { white-space: nowrap; } .glance td { white-space: normal; } }
@media (min-width: 700px) { .boards { grid-template-columns: 1fr 1fr; } }
@media (min-width: 980px) { .pair { grid-template-columns: .9fr 1.1fr; } }
@media (max-width: 699px) {
  .glance thead { display: none; }
  .glance tr, .glance th, .glance td { display: block; border: 0; }
  .glance th { font-weight: 700; font-size: 1rem; padding-top: 10px; }
  .glance td { border-bottom: 1px solid var(--line); }
  .glance td::before { content: attr(data-label); color: var(--muted); font-size: .8rem; }
  table { font-size: .8rem; } th, td { padding-left: 4px; }
}
@page { size: A4; margin: 14mm; }
@media print {
  :root { --paper: #ffffff; }
  html { font-size: 9.5pt; }
  body { padding: 0; max-width: none; font-size: 1rem; line-height: 1.35; }
  .panel { border-radius: 0; border: 0; border-top: 1.5pt solid #777; padding: 6pt 0; margin: 8pt 0; }
  .keep, figure, tr, footer { break-inside: avoid; }
  h2, h3, h4, caption, .notes, .words { break-after: avoid; }
  .boards { grid-template-columns: 1fr 1fr; } .pair { grid-template-columns: .8fr 1.2fr; }
  .main-board { max-width: 10cm; } .chart { max-width: 7.2cm; }
  figure { margin: 4pt 0; } table { font-size: 8pt; margin: 3pt 0 6pt; }
  th, td { padding-top: 1pt; padding-bottom: 1pt; }
  .score { margin-top: 6pt; padding-top: 4pt; } dl { font-size: 8pt; gap: 1pt 12pt; }
  details::details-content { content-visibility: visible; display: block; height: auto; }
  details { break-before: page; } summary { list-style: none; border: 0; padding: 0; }
}
)";
}

}  // namespace sixfold
