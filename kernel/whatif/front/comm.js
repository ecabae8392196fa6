// railbookComm asks a process of the notebook's kernel through a comm, in the classic
// Jupyter notebook. The comm is opened with data that tells the process what to answer
// about. It returns an engine for railbookPanel, or throws where the page has no such
// thing.
function railbookComm(target, opening) {
  'use strict';
  const kernel = globalThis.Jupyter?.notebook?.kernel;
  if (!kernel) throw new Error('sliders need the classic Jupyter notebook with a kernel that runs');
  const comm = kernel.comm_manager.new_comm(target, opening);
  const asked = new Map(); // by the id of the request
  let last = 0;
  comm.on_msg(message => {
    const reply = message.content.data;
    const {resolve, reject} = asked.get(reply.id) || {};
    asked.delete(reply.id);
    if (reply.error) reject?.(new Error(reply.error));
    else resolve?.(reply.state);
  });
  const ended = () => {
    asked.forEach(({reject}) => reject(new Error('the cell that answers has ended; run it again')));
    asked.clear();
    comm.ended = true;
  };
  comm.on_close(ended);
  return {
    state: settings => new Promise((resolve, reject) => {
      if (comm.ended) { reject(new Error('the cell that answers has ended; run it again')); return; }
      asked.set(++last, {resolve, reject});
      comm.send({id: last, settings});
    }),
  };
}
