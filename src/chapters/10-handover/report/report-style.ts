/** Ink on paper; the hues of cameras A and B; works without a screen's fonts. A4, and Letter by the printer's own fit. */
export const reportStyle = `
@page { size: A4; margin: 16mm 15mm 18mm; }
:root { --paper: #fff; --wash: #efeee8; --ink: #191e24; --ink-2: #474c50; --line: #807f77; --rule: #cbc8bd; --a: #1b4f86; --b: #8f4c00; --mount: #6e6e6e; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 24px; max-width: 860px; color: var(--ink); background: var(--paper); font: 14px/20px "Source Sans 3", "Segoe UI", system-ui, sans-serif; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
h1, h2, .verdict, .says { font-family: Alegreya, "Iowan Old Style", Georgia, serif; }
h1 { font-size: 30px; line-height: 36px; font-weight: 500; margin: 0; break-after: avoid; }
h2 { font-size: 19px; line-height: 24px; margin: 34px 0 0; padding-bottom: 5px; border-bottom: 1px solid var(--rule); box-shadow: 0 4px 0 -3px var(--rule); break-after: avoid; break-inside: avoid; }
h3 { font-size: 15px; margin: 18px 0 6px; break-after: avoid; break-inside: avoid; }
.verdict { font-size: 23px; line-height: 29px; margin: 14px 0; break-after: avoid; break-inside: avoid; }
.cover { margin: 18px 0 0; }
.contents { list-style: none; padding: 0; margin: 18px 0 0; border-top: 1px solid var(--line); }
.contents li { display: grid; grid-template-columns: 90px 1fr; padding: 6px 0; border-bottom: 1px solid var(--rule); break-inside: avoid; }
.contents b { font: 600 16px/22px Alegreya, Georgia, serif; }
.least { color: var(--ink-2); }
.a { color: var(--a); } .b { color: var(--b); }
table { width: 100%; border-collapse: collapse; font-size: 12.5px; line-height: 17px; margin: 12px 0; }
caption { text-align: left; font-weight: 600; padding-bottom: 4px; break-after: avoid; } thead { break-inside: avoid; break-after: avoid; }
th { text-align: left; font-weight: 400; padding: 3px 10px 3px 0; vertical-align: top; }
thead th { border-bottom: 1px solid var(--line); color: var(--ink-2); vertical-align: bottom; }
td { padding: 3px 10px 3px 0; vertical-align: top; } tbody tr > * { border-bottom: 1px solid var(--rule); }
.n { text-align: right; font-variant-numeric: tabular-nums lining-nums; }
tr, figure, .finding, .row { break-inside: avoid; }
figure { margin: 0; } figcaption, .caption { font-size: 12px; line-height: 16px; color: var(--ink-2); padding: 4px 0; }
.pictures { display: grid; grid-template-columns: repeat(3, 1fr); gap: 8px; margin: 8px 0; }
.two { display: grid; grid-template-columns: 1fr 1fr; gap: 12px 22px; }
.shots { display: grid; grid-template-columns: repeat(4, 1fr); gap: 10px; }
img { display: block; width: 100%; aspect-ratio: 16 / 9; object-fit: cover; background: var(--wash); }
.plan img { aspect-ratio: auto; background: none; max-width: 640px; margin: 0 auto; } .frames img { aspect-ratio: auto; }
.mounted { background: var(--mount); padding: 8px; } .mounted figcaption { color: #fff; }
.finding { display: grid; grid-template-columns: 22px 1fr; border-top: 1px solid var(--rule); padding: 7px 0; }
.finding > b { font: 600 18px/22px Georgia, serif; } .says { font-size: 16px; line-height: 21px; } .remedy { color: var(--ink-2); font-size: 13px; }
svg { width: 100%; display: block; overflow: visible; }
svg text { font: 12px "Source Sans 3", "Segoe UI", system-ui, sans-serif; fill: var(--ink); }
svg .q { fill: var(--ink-2); } svg .head { font: italic 16px Georgia, serif; } svg .strong { font-weight: 600; } svg .on-mount { fill: #fff; } svg .mount { fill: var(--mount); }
svg .halo { paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; }
svg .rule { stroke: var(--rule); fill: none; } svg .axis { stroke: var(--line); fill: none; } svg .zero { stroke: var(--ink); stroke-width: 1.2; } svg .dim { stroke: var(--ink); stroke-width: .9; } svg .line { fill: none; }
svg .leader { stroke: var(--ink-2); stroke-width: .8; fill: none; } svg .dots { stroke: var(--ink-2); stroke-width: .9; stroke-dasharray: 1.5 3; fill: none; }
svg .data { stroke-width: 1.6; fill: none; } svg .data.thin { stroke-width: 1.1; } svg .cross { stroke-width: 1.8; fill: none; } svg .cross.under { stroke: var(--paper); stroke-width: 4.4; } svg .ink-b { stroke: var(--b); stroke-width: 1.2; }
svg .stroke-a { stroke: var(--a); } svg .stroke-b { stroke: var(--b); } svg .stroke-n { stroke: var(--ink); }
svg .fill-a { fill: var(--a); } svg .fill-b { fill: var(--b); } svg .fill-n { fill: var(--ink); } svg .faint { fill: var(--rule); } svg .wash { fill: var(--wash); } svg .edge { stroke: var(--line); stroke-width: .8; }
svg .open { fill: var(--paper); } svg .paper { fill: var(--paper); stroke: var(--rule); } svg .swatch { stroke: var(--line); stroke-width: .6; }
@media print { body { padding: 0; max-width: none; } .chapter + .chapter { break-before: auto; } }
`;
