import{j as e}from"./field-part-ZZCSHWE7.js";var t=0;function r(){return e(()=>`field-${++t}`)[0]}export{r as a};
