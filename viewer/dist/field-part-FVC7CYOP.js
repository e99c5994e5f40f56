function r(n){let e=n.trim().replace(",",".").replace("−","-");if(e!=="")return/^[-+]?(\d+\.?\d*|\.\d+)$/.test(e)?Number(e):NaN}export{r as a};
