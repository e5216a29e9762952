"""spike."""
import anywidget, traitlets
class F(anywidget.AnyWidget):
    _esm = "export default {render({model, el}) { el.innerHTML='<h1 class=evening>hello</h1><button>b</button>'; model.on('msg:custom', (m)=>{el.querySelector('h1').textContent=m.x}); el.querySelector('button').onclick=()=>model.send({a:1}); }}"
def open_form():
    f = F()
    f.on_msg(lambda w, c, b: f.send({"x": "got " + str(c)}))
    return f
