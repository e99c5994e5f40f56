var e="#/rescue";function o(){history.replaceState(null,"",e),location.reload()}function t(){return location.hash!==e?!1:(history.replaceState(null,"","#/"),!0)}export{o as a,t as b};
