import{a as r}from"./field-part-MUPEO3I6.js";function s(o,n,e=3){let t=Math.floor(Math.log10(n)),m=n/10**t,i=Math.min(e,(m<1.95?1:0)-t);return`${r(o,i)} ± ${r(n,i)}`}export{s as a};
