import { FakeMachine } from '../../support/fake-ports.js';
import { testPortContract } from '../../support/port-contract.js';

testPortContract('the fake', async () => {
  const machine = new FakeMachine();
  return { near: machine.openPorts(), far: machine.openPorts() };
});
