package ringout;

import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * What benchmarks of something short have in common: a state of their own, and five rounds of a second after five that
 * only warm up. JMH takes the annotations of a superclass, except where a benchmark has its own.
 */
@State(Scope.Thread)
@Warmup(iterations = 5, time = 1)
@Measurement(iterations = 5, time = 1)
public abstract class ShortRounds {}
