package ringout.device;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Queue;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.LockSupport;
import java.util.concurrent.locks.ReentrantLock;

/**
 * Time that moves on as soon as everybody in it waits: whoever made it, and every thread that was started in it. One of them
 * works at a time, in the order in which they were woken, and none of their work takes any time, so that the same test always
 * goes the same way, on a busy computer, too. A thread that waits by anything else holds everything up.
 */
public final class VirtualTime implements Time {
    private static final Instant EPOCH = Instant.parse("2026-03-01T10:00:00Z");
    private static final long START = 1_000_000_000L;

    private final ReentrantLock lock = new ReentrantLock();
    private final Map<Thread, Member> members = new LinkedHashMap<>();
    private final Queue<Member> ready = new ArrayDeque<>();
    private final Member maker = new Member();
    private Member working;
    private long now = START;

    private final class Member {
        final Condition turn = lock.newCondition();
        /** Woken while it did not wait. */
        boolean permit;

        boolean parked;
        long until = FOREVER;
    }

    public VirtualTime() {
        members.put(Thread.currentThread(), maker);
        working = maker;
    }

    @Override
    public long nanos() {
        lock.lock();
        try {
            return now;
        } finally {
            lock.unlock();
        }
    }

    @Override
    public Instant wall() {
        return EPOCH.plusNanos(nanos() - START);
    }

    @Override
    public void park(long nanos) {
        if (!isMember(Thread.currentThread())) {
            LockSupport.parkNanos(this, nanos);
            return;
        }
        lock.lock();
        try {
            Member member = members.get(Thread.currentThread());
            if (member.permit || nanos <= 0 || Thread.currentThread().isInterrupted()) {
                member.permit = false;
                return;
            }
            member.parked = true;
            member.until = now + Math.min(nanos, FOREVER);
            next();
            await(member);
        } finally {
            lock.unlock();
        }
    }

    private void await(Member member) {
        while (working != member) {
            if (member != maker) {
                // Its turn may have come in the moment it is interrupted: then nobody says so again.
                member.turn.awaitUninterruptibly();
                continue;
            }
            try {
                member.turn.await();
            } catch (InterruptedException wanted) {
                Thread.currentThread().interrupt();
                throw new IllegalStateException("stopped while it waited", wanted);
            }
        }
    }

    /** The next one's turn; where all wait, time moves on to when the first of them has waited long enough. */
    private void next() {
        working = ready.poll();
        if (working == null) {
            long first = members.values().stream()
                    .mapToLong(member -> member.until)
                    .min()
                    .orElse(FOREVER);
            if (first < FOREVER) {
                now = Math.max(now, first);
                members.values().stream()
                        .filter(member -> member.until <= now)
                        .sorted(Comparator.comparingLong(member -> member.until))
                        .forEach(this::wake);
                working = ready.poll();
            }
        }
        if (working != null) {
            working.turn.signal();
        }
    }

    private void wake(Member member) {
        member.parked = false;
        member.until = FOREVER;
        ready.add(member);
    }

    @Override
    public void unpark(Thread thread) {
        lock.lock();
        try {
            Member member = members.get(thread);
            if (member == null) {
                LockSupport.unpark(thread);
            } else if (member.parked) {
                wake(member);
                goOn();
            } else {
                member.permit = true;
            }
        } finally {
            lock.unlock();
        }
    }

    /** Somebody from outside may have something for them to do while all of them wait for ever. */
    private void goOn() {
        if (working == null) {
            next();
        }
    }

    @Override
    public Thread start(String name, int priority, Runnable work) {
        Member member = new Member();
        Thread thread = new Thread(() -> run(member, work), name);
        thread.setDaemon(true);
        lock.lock();
        try {
            members.put(thread, member);
            ready.add(member);
            thread.start();
            goOn();
        } finally {
            lock.unlock();
        }
        return thread;
    }

    private void run(Member member, Runnable work) {
        lock.lock();
        try {
            await(member);
        } finally {
            lock.unlock();
        }
        try {
            work.run();
        } finally {
            lock.lock();
            try {
                members.remove(Thread.currentThread());
                members.keySet().forEach(this::unpark); // one of them may wait for this
                next();
            } finally {
                lock.unlock();
            }
        }
    }

    @Override
    public void join(Thread thread) {
        while (isMember(thread) && isMember(Thread.currentThread()) && thread != Thread.currentThread()) {
            park(FOREVER);
        }
        Threads.join(thread);
    }

    private boolean isMember(Thread thread) {
        lock.lock();
        try {
            return members.containsKey(thread);
        } finally {
            lock.unlock();
        }
    }

    /** Lets time pass. */
    public void pass(long nanos) {
        for (long end = nanos() + nanos; nanos() < end; ) {
            if (Thread.currentThread().isInterrupted()) {
                throw new IllegalStateException("stopped while it waited");
            }
            park(end - nanos());
        }
    }
}
