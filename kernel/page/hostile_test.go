package page_test

// hostile holds HTML that tries to run a script, to make a request, to break
// out of its place or to cover the page. Each line says what it tries.
var hostile = []string{
	`<script>document.title = "run"</script>`,                                  // plain
	`<ScRiPt src="https://example.com/x.js"></sCrIpT>`,                         // by request
	`<script>document.title = "run"`,                                           // left open
	`<img src="x" onerror="document.title = 'run'">`,                           // event of an image
	`<img src="https://example.com/x.png" alt="far">`,                          // request for an image
	`<img srcset="https://example.com/x.png 2x" src="data:image/png;base64,">`, // and by srcset
	`<p onmouseover="document.title = 'run'" onfocus=alert(1) tabindex=0 autofocus>text</p>`,
	`<details open ontoggle="document.title = 'run'"><summary>s</summary>t</details>`,
	`<svg onload="document.title = 'run'"><script>document.title = "run"</script><circle r="4"/></svg>`,
	`<svg><image href="https://example.com/x.png"/></svg>`,
	`<svg><foreignObject><p>not drawn`,                                              // HTML in a drawing, left open
	`<svg></p><style><img src=x onerror=alert(1)>`,                                  // confusion of namespaces
	`<math><mi xlink:href="javascript:alert(1)">x`,                                  // link in a formula
	`<math><mtext><table><mglyph><style><img src=x onerror="document.title='run'">`, // and its confusion
	`<iframe src="https://example.com"></iframe><iframe srcdoc="<script>1</script>"></iframe>`,
	`<object data="https://example.com"></object><embed src="https://example.com">`,
	`<link rel="stylesheet" href="https://example.com/x.css"><meta http-equiv="refresh" content="0;url=https://example.com">`,
	`<base href="https://example.com/">`,
	`<style>@import "https://example.com/x.css"; body { display: none }</style>`,
	`<div style="background: url(https://example.com/x.png); position: fixed; inset: 0">cover</div>`,
	`<div style="color:red;background-color:u\72l(https://example.com)">escape</div>`,
	`<a href="javascript:document.title='run'">link</a>`,
	`<a href="java&#9;script:alert(1)">tab</a> <a href=" jAvAsCrIpT:alert(1)">space</a> <a href="data:text/html,x">data</a>`,
	`<form action="https://example.com"><input name="a" autofocus onfocus="alert(1)"><button>b</button></form>`,
	`<video src="https://example.com/x.mp4" autoplay></video><audio src="https://example.com/x.mp3"></audio>`,
	`<noscript><p title="</noscript><img src=x onerror=alert(1)>">`,
	`<template><script>document.title = "run"</script></template>`,
	`</div></div></section></main></body></html><p>after the end`,
	`<table><tr><td>left open<div><b>`,
	`<!-- comment --><![CDATA[ x ]]><?php echo 1 ?>`,
	`<!--><img src=x onerror="document.title='run'">-->`,
	`<textarea></textarea><img src=x onerror="document.title='run'">`,
	`<xmp><script>document.title = "run"</script></xmp><plaintext><b>not plain`,
	`<h2 id="cell-1">taken id</h2><p id="notebook">taken id</p><p id="x y">two words</p>`,
	`<a href="https://example.com/page" target="_blank">a plain link stays</a>`,
	"`<script>` in code, and <http://example.com> bare, ![far](https://example.com/far.png)",
	"[link](javascript:alert(1)) ![pic](javascript:alert(1)) [ref]\n\n[ref]: javascript:alert(1)",
}
