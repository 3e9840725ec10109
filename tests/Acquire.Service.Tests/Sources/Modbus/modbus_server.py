"""A Modbus server of another make for the tests: python3-pymodbus.

modbus_server.py tcp PORT UNIT... | rtu DEVICE BAUD UNIT...
Each unit has registers 0 to 9 and 100 to 109 of both tables, all 0. UNIT=VALUE,VALUE... sets the first holding registers,
and lines on standard input set any: UNIT holding|input ADDRESS VALUE...
"""

import asyncio
import sys
import threading

from pymodbus.datastore import ModbusServerContext, ModbusSlaveContext, ModbusSparseDataBlock
from pymodbus.server import StartAsyncSerialServer, StartAsyncTcpServer
from pymodbus.transaction import ModbusRtuFramer

FUNCTIONS = {"holding": 3, "input": 4}


def block():
    return ModbusSparseDataBlock({address: 0 for address in [*range(10), *range(100, 110)]})


def listen(context):
    for line in sys.stdin:
        unit, table, address, *values = line.split()
        context[int(unit)].setValues(FUNCTIONS[table], int(address), [int(value, 0) for value in values])
        print("set", flush=True)


async def main(wire, where, *more):
    units = [unit.partition("=") for unit in (more if wire == "tcp" else more[1:])]
    slaves = {int(unit): ModbusSlaveContext(hr=block(), ir=block(), zero_mode=True) for unit, _, _ in units}
    context = ModbusServerContext(slaves=slaves, single=False)
    for unit, given, values in units:
        if given:
            context[int(unit)].setValues(FUNCTIONS["holding"], 0, [int(value, 0) for value in values.split(",")])
    threading.Thread(target=listen, args=(context,), daemon=True).start()
    if wire == "tcp":
        await StartAsyncTcpServer(context, address=("127.0.0.1", int(where)), allow_reuse_address=True)
    else:
        await StartAsyncSerialServer(context, framer=ModbusRtuFramer, port=where, baudrate=int(more[0]), timeout=1, ignore_missing_slaves=True)


asyncio.run(main(*sys.argv[1:]))
