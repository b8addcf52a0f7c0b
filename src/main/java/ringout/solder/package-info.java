/**
 * Soldering along the wiring sheet, as a pure state machine: joint by joint in an order that keeps the iron reachable, a
 * meter after each line, and what its readings prove. It knows nothing of devices, files and screens; moments come in as
 * values.
 */
package ringout.solder;
