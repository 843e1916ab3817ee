package hardpan.report;

/** The page's style sheet. Colours come from {@link PageColours} alone. */
final class PageStyle {
  private static final String RULES =
      """
      *{box-sizing:border-box}
      html{-webkit-text-size-adjust:100%}
      body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 system-ui,sans-serif}
      h1,h2,h3,h4{font-family:Charter,"Iowan Old Style",Georgia,serif;line-height:1.2}
      h1{font-size:1.9rem;margin:.2rem 0 .8rem}
      h2{font-size:1.35rem;margin:2.2rem 0 .8rem;padding-top:.5rem;border-top:3px double var(--edge)}
      h3{font-size:1.1rem;margin:0 0 .5rem;overflow-wrap:anywhere}
      h4{font-size:1rem;margin:1.1rem 0 .3rem}
      h1,h4,p,li,dt,dd,figcaption,footer{overflow-wrap:anywhere}
      p{margin:.4rem 0;max-width:72ch}
      a{color:var(--link)}
      .page{max-width:76rem;margin:0 auto;padding:1rem 1.25rem 3rem}
      .over{color:var(--soft);margin:0}
      .lead{font-size:1.1rem}
      .soft{color:var(--soft)}
      nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.25rem 1.1rem;padding:0;margin:1rem 0 0}
      nav a{display:inline-block;padding:.3rem 0}
      .card{background:var(--card);border:1px solid var(--edge);padding:.9rem 1.1rem;margin:0 0 1rem}
      .looks{list-style:none;padding:0;margin:0;display:grid;grid-template-columns:repeat(auto-fill,minmax(min(25rem,100%),1fr));gap:.7rem}
      .looks li{background:var(--card);border:1px solid var(--edge);padding:.6rem .9rem}
      .looks p{margin:.25rem 0 0}
      .badge{display:inline-flex;align-items:center;gap:.35em;color:var(--on-strong);font:600 .82rem/1.3 system-ui,sans-serif;padding:.12em .55em;border:1px solid var(--ink);white-space:nowrap;vertical-align:-.1em;print-color-adjust:exact;-webkit-print-color-adjust:exact}
      .fault{background:var(--fault)}
      .warning{background:var(--warning)}
      .note{background:var(--note)}
      .placed{background:var(--placed)}
      .reference{background:var(--reference)}
      .ambiguous{background:var(--ambiguous)}
      .unplaced,.not-lined-up,.unreadable{background:var(--outside)}
      .icon{width:1em;height:1em;flex:none;fill:none;stroke:currentColor;stroke-width:2}
      .symbols{position:absolute;width:0;height:0}
      .scroll{overflow-x:auto;-webkit-overflow-scrolling:touch}
      .scroll:focus-visible,a:focus-visible{outline:3px solid var(--link);outline-offset:2px}
      .clock{display:block;min-width:56rem;width:100%;height:auto}
      .clock text{fill:var(--ink);font:13px system-ui,sans-serif}
      .clock .device{font-weight:700}
      .clock .tick{fill:var(--soft);font-size:12px}
      .grid{stroke:var(--edge);stroke-width:1;stroke-dasharray:1 4}
      .box{fill:var(--card);stroke:var(--ink);stroke-width:1.5}
      .box-ambiguous{stroke-dasharray:6 4}
      .inner{fill:none;stroke:var(--ink);stroke-width:1}
      .wave{fill:var(--wave);stroke:none}
      .legend{list-style:none;display:flex;flex-wrap:wrap;gap:.4rem 1.2rem;padding:0;margin:.7rem 0 0}
      figure{margin:.5rem 0}
      figcaption{font-size:.9rem;color:var(--soft)}
      .strip{display:block;width:100%;height:4.2rem;background:var(--card);border:1px solid var(--edge)}
      .zero{fill:var(--edge)}
      .cut,.is-fault{fill:var(--fault)}
      .is-warning{fill:var(--ink)}
      .is-note{fill:none;stroke:var(--ink);stroke-width:1;vector-effect:non-scaling-stroke}
      .dot{stroke:var(--wave);stroke-width:6;stroke-linecap:round;vector-effect:non-scaling-stroke}
      .miss{stroke:var(--ink);stroke-width:1.5;vector-effect:non-scaling-stroke}
      .ends{display:flex;justify-content:space-between;font-size:.85rem;color:var(--soft)}
      table{border-collapse:collapse;width:100%;font-size:.92rem;font-variant-numeric:tabular-nums}
      caption{text-align:left;color:var(--soft);padding:.2rem 0}
      th,td{border-bottom:1px solid var(--edge);padding:.3rem .6rem;text-align:left;vertical-align:top}
      thead th{white-space:nowrap}
      td.n,th.n{text-align:right;white-space:nowrap}
      td.name{min-width:11rem;overflow-wrap:anywhere}
      tbody th{min-width:6.5rem}
      .facts{display:grid;grid-template-columns:repeat(auto-fill,minmax(11rem,1fr));gap:.3rem 1rem;margin:.6rem 0}
      .facts dt{font-size:.85rem;color:var(--soft)}
      .facts dd{margin:0}
      footer{margin-top:2.5rem;padding-top:.6rem;border-top:1px solid var(--edge);color:var(--soft);font-size:.9rem}
      @media (max-width:40rem){.page{padding:.7rem .8rem 2rem}h1{font-size:1.5rem}.card{padding:.7rem .75rem}.facts{grid-template-columns:1fr 1fr}th,td{padding:.3rem .45rem}td:not(.n){min-width:11rem}}
      @media print{#clock{break-inside:avoid}body{font-size:10.5pt;background:none}table{font-size:8.5pt}thead th{white-space:normal}#clock>p{break-after:avoid}.clock{break-inside:avoid}.page{max-width:none;padding:0 1px}nav{display:none}.scroll{overflow:visible}.clock{min-width:0}h2,h3,h4{break-after:avoid}.looks li,figure,tr,.legend{break-inside:avoid}a{color:inherit;text-decoration:none}thead{display:table-header-group}@page{margin:14mm}}
      """;

  private PageStyle() {}

  /** The whole style sheet; paper always gets the light colours. */
  static String css() {
    return ":root{color-scheme:light dark;"
        + PageColours.declarations(false)
        + "}\n@media screen and (prefers-color-scheme:dark){:root{"
        + PageColours.declarations(true)
        + "}}\n@media print{:root{color-scheme:light}}\n"
        + RULES;
  }
}
