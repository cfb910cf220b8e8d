#include "report/sheet_style.hpp"

namespace chipledger::report {

const char* const kSheetStyle = R"css(
*{box-sizing:border-box}
html{color-scheme:light;-webkit-text-size-adjust:100%}
body{margin:0;background:#fff;color:#111;font:15px/1.45 "Liberation Sans",Arial,Helvetica,sans-serif}
.sheet{max-width:1560px;margin:0 auto;padding:14px 20px 40px}
header{border:1.5px solid #111;padding:8px 14px;display:flex;flex-wrap:wrap;gap:4px 22px;align-items:baseline}
h1{font-size:20px;margin:0;overflow-wrap:anywhere}
header p{margin:0}
header .quote{margin-left:auto;font-weight:bold}
.first{display:grid;grid-template-columns:minmax(0,1fr);gap:8px 26px;margin-top:10px}
.answers{margin:0}
.answers dt{font-size:13px;color:#444;margin-top:8px}
.answers dd{margin:0;overflow-wrap:anywhere}
.answers .cost{font-size:30px;font-weight:bold;line-height:1.15}
.answers .cost small{font-size:15px;font-weight:normal}
h2{font-size:17px;margin:30px 0 8px;border-bottom:1.5px solid #111;padding-bottom:2px}
.first h2{margin-top:6px}
h3{font-size:15px;margin:18px 0 4px}
.scroll{overflow-x:auto;max-width:100%}
.scroll:focus-visible{outline:2px solid #0059a8}
table{border-collapse:collapse;margin:4px 0 8px;font-variant-numeric:tabular-nums}
caption{text-align:left;color:#444;padding:2px 0}
th,td{padding:3px 9px 3px 0;text-align:right;vertical-align:top;white-space:nowrap}
th{font-weight:bold;border-bottom:1px solid #111;vertical-align:bottom}
th small{display:block;font-weight:normal;color:#444}
td{border-bottom:1px solid #ddd}
th:first-child,td:first-child,.l{text-align:left}
td.wrap{white-space:normal;min-width:15em;text-align:left}
tfoot td{border-top:1.5px solid #111;border-bottom:0;font-weight:bold}
tr.group td{font-weight:bold;background:#f7f4ec}
tr.low td{color:#444;font-weight:normal;border-top:0}
.next{white-space:nowrap}.next.lit{background:#fbe9c6}
.on{background:#f3eee2}
tr[data-d]:hover,tr[data-d]:focus,tr.lit{background:#fbe9c6;outline:none}
tr[data-d]{cursor:default}
tr[data-d]:focus-visible{outline:2px solid #0059a8}
.plan svg{width:100%;height:auto;display:block}
.plan{overflow-x:auto}
.plan svg{min-width:600px}
svg .cl-label,svg .cl-detail,svg .cl-bar{cursor:default}
svg .cl-detail.lit path:first-of-type{stroke:#0059a8;stroke-width:.9}
svg .cl-label.lit rect{fill:#fbe9c6;fill-opacity:1}
svg .cl-label:focus{outline:none}
svg .cl-label:focus-visible rect{stroke:#0059a8;stroke-width:.4}
svg .cl-bar.lit text{fill:#0059a8}
.chart{width:100%;max-width:760px;height:auto;display:block;margin:6px 0}
details.n{display:inline-block;text-align:left;vertical-align:top}
details.n>summary{list-style:none;cursor:pointer;text-align:right;text-decoration:underline dotted #777 1px;text-underline-offset:3px}
details.n>summary::-webkit-details-marker{display:none}
details.n>summary:focus-visible{outline:2px solid #0059a8}
details.n>div{position:fixed;right:14px;bottom:14px;z-index:5;width:min(28rem,calc(100vw - 28px));max-height:60vh;overflow:auto;white-space:normal;border:1.5px solid #111;background:#fff;padding:8px 12px;font-size:13px;font-weight:normal;color:#111}
details.n[open]>summary{background:#fbe9c6}
details.n p{margin:0 0 4px}
details.n ul{margin:0;padding-left:16px}
.from{font-size:12px;padding:0 4px;border:1px solid #777;border-radius:2px}
.from.guessed{border-style:dashed;font-weight:bold}
.note{max-width:80ch;margin:4px 0}
.caution{max-width:90ch}
.caution li{margin:5px 0}
.left-out{font-weight:bold}
.pair{display:grid;grid-template-columns:minmax(0,1fr);gap:0 30px}
footer{margin-top:30px;border:1.5px solid #111;padding:6px 14px;font-size:13px;display:flex;flex-wrap:wrap;gap:2px 22px}
footer code,.print{overflow-wrap:anywhere}
select{font:inherit}
@media (min-width:1040px){
 .first{grid-template-columns:minmax(330px,2fr) minmax(0,3fr)}
 .first .plan svg{max-height:max(440px,calc(100vh - 130px))}
 .pair{grid-template-columns:minmax(0,1fr) minmax(0,1fr)}
}
@media (max-width:520px){
 body{font-size:14px}.sheet{padding:8px 10px 30px}h1{font-size:17px}header .quote{margin-left:0}
 .answers dt{margin-top:5px}.answers .cost{font-size:25px}
}
@page{size:A4;margin:11mm}
@media print{
 body{font-size:9pt}.sheet{padding:0;max-width:none}
 .scroll,.plan{overflow:visible}.plan svg{min-width:0;max-height:none!important}
 .plan svg{width:auto;max-width:100%;margin:0 auto}.chart{max-width:125mm}
 tfoot{display:table-row-group}
 h2{break-after:avoid}tr,figure,svg,.caution li{break-inside:avoid}thead{display:table-header-group}
 th,td{padding:1.5px 6px 1.5px 0;white-space:normal}td.wrap{min-width:9em}th:first-child,td:first-child:not(.wrap){white-space:nowrap}
 details.n>div{position:static}details.n>summary{text-decoration:none}.no-print{display:none}
}
)css";

const char* const kSheetScript = R"js(
(function(){
 var all=function(s){return Array.prototype.slice.call(document.querySelectorAll(s))};
 function light(id,on){all('[data-d="'+id+'"]').forEach(function(e){e.classList.toggle('lit',on)})}
 all('[data-d]').forEach(function(e){
  var id=e.getAttribute('data-d');
  if(e.classList.contains('cl-label')||e.tagName==='TR')e.setAttribute('tabindex','0');
  e.addEventListener('mouseenter',function(){light(id,true)});
  e.addEventListener('mouseleave',function(){light(id,false)});
  e.addEventListener('focus',function(){light(id,true)});
  e.addEventListener('blur',function(){light(id,false)});
 });
 all('details.n').forEach(function(d){
  d.addEventListener('toggle',function(){if(d.open)all('details.n[open]').forEach(function(o){if(o!==d)o.open=false})});
 });
 var choice=document.getElementById('batch');
 function show(){
  var b=Number(choice.value);
  all('[data-p]').forEach(function(e){var p=e.getAttribute('data-p').split(' ');if(p[b]!==undefined)e.textContent=p[b]});
  all('[data-b]').forEach(function(e){e.classList.toggle('on',Number(e.getAttribute('data-b'))===b)});
 }
 if(choice){choice.disabled=false;choice.addEventListener('change',show)}
 document.addEventListener('keydown',function(ev){
  if(ev.key==='Escape')all('details.n[open]').forEach(function(d){d.open=false});
 });
 var open=[];
 window.addEventListener('beforeprint',function(){open=all('details.n[open]');open.forEach(function(d){d.open=false})});
 window.addEventListener('afterprint',function(){open.forEach(function(d){d.open=true})});
})();
)js";

}  // namespace chipledger::report
